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
  readonly stated = $derived(ringOf(selection.job === null ? undefined : form.stated.find((one) => one.id === selection.job)?.properties[PROPERTY]));

  /** Begins to draw round a job, or takes up the area that it has. */
  begin(): void {
    const job = programme.jobs.get(selection.job ?? '');
    if (job === undefined || !programme.writes || programme.doing !== null || programme.planning) return;
    this.ring = this.stated.length > 0 ? this.stated : [job.at];
    this.at = this.ring.length - 1;
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

/** The corners of a GeoJSON polygon's outer ring, the first not repeated; empty where it is none. */
export function ringOf(value: unknown): readonly Place[] {
  const ring = (value as { coordinates?: unknown } | null | undefined)?.coordinates;
  const outer: unknown = Array.isArray(ring) ? ring[0] : null;
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
