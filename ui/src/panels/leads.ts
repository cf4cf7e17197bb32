import type { Selected } from '../state/selection.svelte';
import type { FindingView, Sheet } from '../types/gangday';

/** Where a finding leads: what is selected there, and the property that it is about, if any. */
export interface Lead {
  readonly words: string;
  readonly leads: Selected;
  readonly property: string | null;
}

/** Where a finding is mended; null where that lies outside this window, as in a file of figures. */
export function leadOf(finding: FindingView, sheet: Sheet): Lead | null {
  const parts = finding.place.split(', ');
  if (finding.job !== null && sheet.jobs.some((job) => job.id === finding.job)) {
    const property = parts[0] === 'jobs.geojson' ? (parts.find((part, i) => i > 1 && /^[a-z_]+$/.test(part)) ?? null) : null;
    return { words: property === null ? finding.job : `${finding.job}, ${property.replaceAll('_', ' ')}`, leads: { what: 'job', id: finding.job }, property };
  }
  if (parts[0] === 'streets.geojson') {
    const street = sheet.streets.find((one) => one.id === parts[1]);
    if (street !== undefined) return { words: street.name ?? street.id, leads: { what: 'street', id: street.id }, property: null };
  }
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
