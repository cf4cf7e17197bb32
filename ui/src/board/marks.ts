/** The share of ids that have to start alike for theirs to be shortened. */
const MOST = 0.8;

/**
 * Short marks for job ids, to stand on a layer: `J-014` is `14` where most ids start alike, else the id itself.
 *
 * A mark is never shared by two jobs.
 */
export function marksOf(ids: readonly string[]): Map<string, string> {
  const heads = new Map<string, number>();
  for (const id of ids) heads.set(headOf(id), (heads.get(headOf(id)) ?? 0) + 1);
  const [head, often] = [...heads].reduce((best, one) => (one[1] > best[1] ? one : best), ['', 0]);
  const short = ids.map((id) => (often >= MOST * ids.length && headOf(id) === head ? (/^\D*0*(\d+\w?)$/.exec(id)?.[1] ?? id) : id));
  const usable = new Set(short).size === ids.length;
  return new Map(ids.map((id, i) => [id, usable ? (short[i] ?? id) : id]));
}

function headOf(id: string): string {
  return /^(\D*)\d+\w?$/.exec(id)?.[1] ?? id;
}
