import { count } from '../words';
import { form } from './form.svelte';
import { nudged, stated, type Place } from './eye';
import { programme } from './programme.svelte';
import { selection } from './selection.svelte';

/** The property that holds a job's works area: a GeoJSON polygon. */
const PROPERTY = 'works_area';
/** Fewer corners than this bound nothing. */
const LEAST = 3;

/** A job's works area while it is drawn: its corners, and which of them is in hand. */
class Area {
  job = $state<string | null>(null);
  ring = $state.raw<readonly Place[]>([]);
  at = $state(0);

  /** What the job that is selected states; empty where it states none. */
  readonly #value = $derived(selection.job === null ? undefined : form.stated.find((one) => one.id === selection.job)?.properties[PROPERTY]);
  readonly stated = $derived(ringOf(this.#value));
  /** What goes of the area that the job has where one outline is drawn in its place, in words; empty where nothing does. */
  lost = $state('');

  /** Begins to draw round a job, or takes up the area that it has. */
  begin(): void {
    const job = programme.jobs.get(selection.job ?? '');
    if (job === undefined || !programme.writes || programme.doing !== null || programme.planning) return;
    this.ring = this.stated.length > 0 ? this.stated : [job.at];
    this.at = this.ring.length - 1;
    this.lost = lostOf(this.#value);
    this.job = job.id;
  }

  /** Carries the corner in hand to a place. */
  carry(to: Place): void {
    this.ring = this.ring.map((corner, i) => (i === this.at ? to : corner));
  }

  nudge(east: number, north: number): void {
    const corner = this.ring[this.at];
    if (corner !== undefined) this.carry(nudged(corner, east, north));
  }

  /** Leaves the corner in hand where it is and begins the next, at the same place. */
  set(): void {
    const corner = this.ring[this.at];
    if (corner === undefined) return;
    this.ring = this.ring.toSpliced(this.at + 1, 0, corner);
    this.at += 1;
  }

  /** Takes another corner into the hand. */
  turn(way: 1 | -1): void {
    this.at = (this.at + way + this.ring.length) % this.ring.length;
  }

  /** Takes the corner in hand away. */
  drop(): void {
    if (this.ring.length < 2) return;
    this.ring = this.ring.toSpliced(this.at, 1);
    this.at = Math.max(0, this.at - 1);
  }

  letGo(): void {
    this.job = null;
    this.ring = [];
  }

  /** Keeps what was drawn. */
  async keep(): Promise<void> {
    const job = this.job;
    const corners = distinct(this.ring);
    if (job === null) return;
    if (corners.length < LEAST) {
      programme.said = 'A works area has three corners at least.';
      return;
    }
    const ring = [...corners, corners[0]!].map(stated);
    if (await form.put([job], PROPERTY, { type: 'Polygon', coordinates: [ring] })) this.letGo();
  }

  /** Takes the works area of the job that is selected away. */
  async remove(): Promise<void> {
    if (selection.job !== null) await form.put([selection.job], PROPERTY, null);
  }
}

/** The rings of each part of a GeoJSON polygon, or of one of several parts. */
function partsOf(value: unknown): readonly (readonly unknown[])[] {
  const { type, coordinates } = (value ?? {}) as { type?: unknown; coordinates?: unknown };
  if (!Array.isArray(coordinates)) return [];
  return type === 'MultiPolygon' ? coordinates.filter((part) => Array.isArray(part)) : [coordinates];
}

/** What is lost of a works area where one outline is kept in its place: holes, other parts, or what can't be drawn at all. */
export function lostOf(value: unknown): string {
  if (value === undefined || value === null) return '';
  if (ringOf(value).length === 0) return 'What is stated as its works area can’t be drawn here; what you keep is put in its place.';
  const [first = [], ...others] = partsOf(value);
  const holes = first.length - 1;
  const some = (n: number, one: string): string => (n === 1 ? one : count(n, one));
  const gone = [...(others.length === 0 ? [] : [`the ${some(others.length, 'other part')}`]), ...(holes === 0 ? [] : [`the ${some(holes, 'hole')} in it`])];
  return gone.length === 0 ? '' : `Only this outline is kept: ${gone.join(' and ')} will be gone.`;
}

/** The corners of a GeoJSON polygon's outer ring, the first not repeated, or of the first of several parts; empty where it is none. */
export function ringOf(value: unknown): readonly Place[] {
  const outer: unknown = partsOf(value)[0]?.[0];
  if (!Array.isArray(outer)) return [];
  const places = outer.filter((one): one is Place => Array.isArray(one) && typeof one[0] === 'number' && typeof one[1] === 'number');
  return distinct(places);
}

/** The corners without those that stand on the one before, or the last on the first. */
function distinct(ring: readonly Place[]): Place[] {
  const apart = ([a, b]: Place, [c, d]: Place): boolean => Math.hypot(a - c, b - d) > 1e-8;
  const kept = ring.filter((corner, i) => i === 0 || apart(corner, ring[i - 1]!));
  while (kept.length > 1 && !apart(kept[0]!, kept.at(-1)!)) kept.pop();
  return kept;
}

export const area = new Area();
