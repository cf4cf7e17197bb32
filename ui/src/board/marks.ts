/** The share of ids that have to start alike for theirs to be shortened. */
const MOST = 0.8;

/** So long a mark is at most, in letters; and no longer than most of them are. */
const LONGEST = 6;
const SHORTEST = 2;
const USUAL = 0.9;

/**
 * Short marks for job ids, to stand on a layer: `J-014` is `14` where most ids start alike, else the id itself. One that is longer
 * than most are is told by its end, `…45-A`, or by a number, `#1`, where another ends alike.
 *
 * A mark is never shared by two jobs.
 */
export function marksOf(ids: readonly string[]): Map<string, string> {
  const heads = new Map<string, number>();
  for (const id of ids) heads.set(headOf(id), (heads.get(headOf(id)) ?? 0) + 1);
  const [head, often] = [...heads].reduce((best, one) => (one[1] > best[1] ? one : best), ['', 0]);
  const short = ids.map((id) => (often >= MOST * ids.length && headOf(id) === head ? (/^\D*0*(\d+\w?)$/.exec(id)?.[1] ?? id) : id));
  const usable = new Set(short).size === ids.length;
  return capped(ids, usable ? short : ids);
}

/** The marks, none longer than most of them are. */
function capped(ids: readonly string[], marks: readonly string[]): Map<string, string> {
  const lengths = marks.map((mark) => mark.length).sort((a, b) => a - b);
  const most = Math.min(LONGEST, Math.max(SHORTEST, lengths[Math.ceil((lengths.length - 1) * USUAL)] ?? 0));
  const end = (mark: string): string => `…${mark.slice(1 - most)}`;
  const taken = new Set(marks);
  const often = new Map<string, number>();
  for (const mark of marks) if (mark.length > most) often.set(end(mark), (often.get(end(mark)) ?? 0) + 1);
  let number = 0;
  const numbered = (): string => {
    do number += 1;
    while (taken.has(`#${number}`));
    return `#${number}`;
  };
  return new Map(
    ids.map((id, i) => {
      const mark = marks[i] ?? id;
      if (mark.length <= most) return [id, mark];
      return [id, often.get(end(mark)) === 1 && !taken.has(end(mark)) ? end(mark) : numbered()];
    }),
  );
}

function headOf(id: string): string {
  return /^(\D*)\d+\w?$/.exec(id)?.[1] ?? id;
}
