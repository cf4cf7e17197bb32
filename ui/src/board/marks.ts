/**
 * Short marks for job ids, to stand on a layer: `J-014` is `14` where every id starts alike, else the id itself.
 *
 * A mark is never shared by two jobs.
 */
export function marksOf(ids: readonly string[]): Map<string, string> {
  const short = ids.map((id) => /^\D*0*(\d+\w?)$/.exec(id)?.[1] ?? id);
  const heads = new Set(ids.map((id) => /^(\D*)\d+\w?$/.exec(id)?.[1] ?? id));
  const usable = heads.size === 1 && new Set(short).size === ids.length;
  return new Map(ids.map((id, i) => [id, usable ? (short[i] ?? id) : id]));
}
