import type { ListPatch, Sheet, SheetPatch } from '../types/gangday';

type Rows = readonly Record<string, unknown>[];

/** The sheet of the edition that a patch leads to; the patch has to be for this very sheet. */
export function patched(sheet: Sheet, patch: SheetPatch): Sheet {
  const next: Sheet = { ...sheet, ...patch.sheet, edition: patch.edition };
  if (next.plan !== null) next.plan = { ...next.plan, ...patch.plan };
  for (const list of patch.lists) {
    const [owner, name] = list.list.startsWith('plan.') ? [next.plan, list.list.slice(5)] : [next, list.list];
    const members = owner as Record<string, unknown> | null;
    const rows = members?.[name];
    if (members !== null && Array.isArray(rows)) members[name] = relisted(rows as Rows, list);
  }
  return next;
}

/** A list without the rows that are gone, with those that are new or others now. */
export function relisted(rows: Rows, { key, gone, put }: Pick<ListPatch, 'key' | 'gone' | 'put'>): Rows {
  const out = new Set(gone);
  const next = out.size === 0 ? [...rows] : rows.filter((row) => !out.has(String(row[key])));
  const places = new Map(next.map((row, i) => [row[key], i]));
  for (const { at, row } of put) {
    const fresh = row as Record<string, unknown>;
    const place = places.get(fresh[key]);
    if (place !== undefined) next[place] = fresh;
    else {
      next.splice(at, 0, fresh);
      next.slice(at).forEach((one, i) => places.set(one[key], at + i));
    }
  }
  return next;
}
