import type { Piece } from './section';

/** A line of words beside a section, for one piece or for a run of work on one job. */
export interface Saying {
  readonly piece: Piece;
  readonly words: string;
  /** The less, the more it matters. */
  readonly rank: number;
}

/** What is too short to matter much, minutes. */
const BRIEF = 12;

/** What is written beside a section: work on one job that goes on is said in one breath. */
export function sayingsOf(pieces: readonly Piece[]): Saying[] {
  const sayings: Saying[] = [];
  let last: Piece | null = null;
  for (const piece of pieces) {
    const before = sayings.at(-1);
    const rank = rankOf(piece);
    if (piece.wait === '' && piece.fill === 'work' && last?.fill === 'work' && last.job === piece.job) join(sayings, piece);
    else if (rank !== null) sayings.push({ piece, words: piece.words, rank });
    if (piece.wait === '' || before === undefined) last = piece.wait === '' ? piece : last;
  }
  return sayings;
}

/** How much a piece matters, 0 the most; null for what is drawn and not written. */
function rankOf(piece: Piece): number | null {
  const brief = piece.to - piece.from < BRIEF;
  if (piece.fill === 'work') return brief ? 2 : 0;
  if (piece.fill === 'cure') return piece.wait === 'base_cure' ? 1 : 2;
  if (piece.fill === 'idle') return brief ? null : 3;
  return piece.fill === 'load' || piece.fill === 'hold' ? 3 : null;
}

/** Adds a layer to the saying of the work that it goes on from: `Dig, pour base J055`. */
function join(sayings: Saying[], piece: Piece): void {
  const at = sayings.findLastIndex((one) => one.piece.fill === 'work' && one.piece.job === piece.job);
  const saying = sayings[at];
  if (saying === undefined || piece.job === null) return;
  const begun = verb(saying.words, piece.job);
  const goesOn = verb(piece.words, piece.job).toLowerCase();
  sayings[at] = { ...saying, words: `${begun}, ${goesOn} ${piece.job}` };
}

/** What is done, without the job and how long it takes. */
function verb(words: string, job: string): string {
  return (words.split(job)[0] ?? words).trim();
}
