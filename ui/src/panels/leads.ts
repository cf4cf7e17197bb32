import type { Selected } from '../state/selection.svelte';
import type { Place } from '../state/figures.svelte';
import type { FindingView, Sheet } from '../types/gangday';

/** Where a finding leads: what is selected there and the property that it is about; or the figure, or the row of a file, that mends it. */
export interface Lead {
  readonly words: string;
  readonly leads: Selected | null;
  readonly property: string | null;
  /** The figure of this key. */
  readonly figure?: string;
  /** The row of a file, with the member that it is about in `property`. */
  readonly row?: Place;
}

/** Files whose rows are figures. */
const TABLES = ['method.json', 'materials.json'];
/** Files whose rows are opened as they stand. */
const ROWS = ['week.json', 'gangs.json', 'streets.geojson'];

/** Where a finding is mended; null where it names no place. */
export function leadOf(finding: FindingView, sheet: Sheet): Lead | null {
  const parts = finding.place.split(', ').filter((part) => !/^line \d+/.test(part));
  if (finding.job !== null && sheet.jobs.some((job) => job.id === finding.job)) {
    const property = parts[0] === 'jobs.geojson' ? (parts.find((part, i) => i > 1 && /^[a-z_]+$/.test(part)) ?? null) : null;
    return { words: property === null ? finding.job : `${finding.job}, ${property.replaceAll('_', ' ')}`, leads: { what: 'job', id: finding.job }, property };
  }
  return ofFile(parts, sheet) ?? ofGangDay(parts, sheet);
}

function ofFile(parts: readonly string[], sheet: Sheet): Lead | null {
  const [file = '', first, second] = parts;
  const isFigure = first !== undefined && /^[a-z0-9_]+(\.[a-z0-9_]+)+$/.test(first);
  if (TABLES.includes(file) || (isFigure && file === 'week.json')) return { words: first ?? 'Figures', leads: null, property: null, figure: first ?? '' };
  if (!ROWS.includes(file)) return null;
  if (file === 'week.json') return { words: first === undefined ? 'The week' : `Week, ${first === 'temperature_c' ? 'temperature' : first.replaceAll('_', ' ')}`, leads: null, property: first ?? null, row: { file, row: null } };
  const named = rowNamed(file, first, sheet);
  if (named === null) return null;
  const property = second !== undefined && /^[a-z_]+$/.test(second) ? second : null;
  const leads: Selected | null = file === 'streets.geojson' ? { what: 'street', id: first ?? '' } : null;
  return { words: property === null ? named : `${named}, ${property.replaceAll('_', ' ')}`, leads, property, row: { file, row: first ?? null } };
}

/** What a gang, a tip or a street is called; null where there is no such row. */
function rowNamed(file: string, id: string | undefined, sheet: Sheet): string | null {
  if (id === undefined) return null;
  const all: readonly { id: string; name: string | null }[] = file === 'streets.geojson' ? sheet.streets : [...sheet.gangs, ...sheet.tips];
  const row = all.find((one) => one.id === id);
  return row === undefined ? null : (row.name ?? row.id);
}

function ofGangDay(parts: readonly string[], sheet: Sheet): Lead | null {
  for (const part of parts) {
    const [, gang, date] = /^(.+) (\d{4}-\d{2}-\d{2})$/.exec(part) ?? [];
    const key = `${gang}@${date}`;
    const column = sheet.plan?.columns.find((one) => one.key === key);
    if (column === undefined) continue;
    const name = sheet.gangs.find((one) => one.id === gang)?.name ?? gang;
    const day = sheet.days.find((one) => one.date === date)?.name ?? date;
    return { words: `${name}, ${day}`, leads: { what: 'route', key }, property: null };
  }
  return null;
}
