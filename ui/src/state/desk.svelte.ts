import type { Theme } from '../drawing/gangs';
import { keep, kept } from './kept';

const NAME = 'desk';

/** The sizes of text to choose from, and which of them is plain. */
const TEXT = [0.9, 1, 1.15, 1.3, 1.5] as const;
const PLAIN = 1;
/** The least and the most of the window's height that the board may take. */
const SHARES = [0.25, 0.85] as const;

/** What can be folded away. */
const FOLDS = ['board', 'notes', 'wrong', 'take', 'street', 'mind', 'stated'] as const;
export type Fold = (typeof FOLDS)[number];

interface Kept {
  theme: Theme | null;
  folded: Fold[];
  boardShare: number;
  /** Which step of the text sizes; 0 is the plain one. */
  text: number;
  /** Whether letters, figures and signs pressed by themselves do what the list of keys says. */
  letters: boolean;
}

/** How the user keeps the desk: theme, what is folded, how tall the board is; kept with the program. */
class Desk {
  #chosen = $state<Theme | null>(null);
  #system = $state<Theme>('light');
  #folded = $state<Fold[]>([]);
  /** The share of the window's height that the board takes. */
  boardShare = $state(0.56);
  /** How many pixels stand for one at the plain text size: 1, or 2 on a 4K screen. */
  rem = $state(1);
  /** How many dots of the screen stand for one of its pixels. */
  ratio = $state(1);
  /** Which sheet lies over everything: the keys, a folder to open or to save in, how a job is worked out, or none. */
  over = $state<'keys' | 'open' | 'begin' | 'save' | 'worked' | 'plans' | 'intake' | 'history' | 'gang' | 'figures' | 'row' | 'aside' | 'gangs' | 'tables' | 'leave' | null>(null);

  /** How much larger than plain the user wants the text, in steps. */
  text = $state(0);
  /** Whether a letter pressed by itself is a command; who speaks to the machine, or presses keys unawares, turns that off. */
  letters = $state(true);

  /** The field that is to be put right next, where a finding led there: of a job, or of all that are selected. */
  mending = $state.raw<{ readonly job: string | null; readonly property: string } | null>(null);

  readonly theme = $derived<Theme>(this.#chosen ?? this.#system);

  constructor() {
    this.recall();
    const dark = globalThis.matchMedia?.('(prefers-color-scheme: dark)');
    if (dark === undefined) return;
    this.#system = dark.matches ? 'dark' : 'light';
    dark.addEventListener('change', (event) => (this.#system = event.matches ? 'dark' : 'light'));
  }

  /** Takes over what is kept. */
  recall(): void {
    const was = read();
    this.#chosen = was.theme;
    this.#folded = was.folded;
    this.boardShare = was.boardShare;
    this.text = was.text;
    this.letters = was.letters;
  }

  folded(what: Fold): boolean {
    return this.#folded.includes(what);
  }

  fold(what: Fold, folded = !this.folded(what)): void {
    const rest = this.#folded.filter((one) => one !== what);
    this.#folded = folded ? [...rest, what] : rest;
    this.#keep();
  }

  /** Takes the measure of the text again, after the window has changed. */
  measure(): void {
    const size = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
    this.rem = size > 0 ? size / 16 : 1;
    this.ratio = globalThis.devicePixelRatio || 1;
  }

  /** How many times as large as plain the text is. */
  get zoom(): number {
    return TEXT[this.text + PLAIN] ?? 1;
  }

  /** Takes the text one step up or down. */
  setText(way: 1 | -1): void {
    this.text = bounded(this.text + way, -PLAIN, TEXT.length - 1 - PLAIN);
    this.#keep();
  }

  /** Leads to a field of a job. */
  mend(job: string, property: string): void {
    this.fold('notes', false);
    this.fold('stated', false);
    this.mending = { job, property };
  }

  setLetters(letters: boolean): void {
    this.letters = letters;
    this.#keep();
  }

  switchTheme(): void {
    this.#chosen = this.theme === 'light' ? 'dark' : 'light';
    this.#keep();
  }

  setBoardShare(share: number): void {
    this.boardShare = bounded(share, ...SHARES);
    this.#keep();
  }

  #keep(): void {
    const now: Kept = { theme: this.#chosen, folded: this.#folded, boardShare: this.boardShare, text: this.text, letters: this.letters };
    keep(NAME, now);
  }
}

/** What is kept, as far as it makes sense: anybody may have written to the file. */
function read(): Kept {
  const was = kept(NAME);
  const { theme, folded, boardShare, text, letters } = (typeof was === 'object' && was !== null ? was : {}) as { readonly [one in keyof Kept]?: unknown };
  return {
    theme: theme === 'light' || theme === 'dark' ? theme : null,
    folded: Array.isArray(folded) ? FOLDS.filter((one) => folded.includes(one)) : ['street', 'mind', 'stated'],
    boardShare: typeof boardShare === 'number' ? bounded(boardShare, ...SHARES) : 0.55,
    text: Number.isInteger(text) ? bounded(text as number, -PLAIN, TEXT.length - 1 - PLAIN) : 0,
    letters: letters !== false,
  };
}

function bounded(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}

export const desk = new Desk();
