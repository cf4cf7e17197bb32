import type { Sheet } from '../types/gangday';
import type { Selected } from '../state/selection.svelte';
import { placeOf } from '../words';

/** Something that the find box found. */
export interface Found {
  readonly label: string;
  readonly about: string;
  readonly leads: Selected;
}

/** Jobs by id, by what people call them and by street, and streets by name, that hold what was typed, the closest first. */
export function find(sheet: Sheet, typed: string, most = 8): Found[] {
  const text = typed.trim().toLowerCase();
  if (text === '') return [];
  const jobs = sheet.jobs
    .filter((job) => [job.id, job.called, job.street].some((words) => words?.toLowerCase().includes(text)))
    .map((job): Found => ({ label: job.id, about: placeOf(job), leads: { what: 'job', id: job.id } }));
  const streets = sheet.streets
    .filter((street) => (street.name ?? street.id).toLowerCase().includes(text))
    .map((street): Found => ({ label: street.name ?? street.id, about: 'street', leads: { what: 'street', id: street.id } }));
  const near = (one: Found): number => (one.label.toLowerCase() === text ? 0 : one.label.toLowerCase().startsWith(text) ? 1 : 2);
  return [...streets, ...jobs].sort((a, b) => near(a) - near(b)).slice(0, most);
}
