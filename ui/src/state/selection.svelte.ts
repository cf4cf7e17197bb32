import type { Sheet } from '../types/gangday';
import { programme } from './programme.svelte';

/** What is selected: one thing at a time, the same everywhere. */
export type Selected =
  | { readonly what: 'nothing' }
  | { readonly what: 'job'; readonly id: string }
  | { readonly what: 'jobs'; readonly ids: readonly string[] }
  | { readonly what: 'route'; readonly key: string }
  | { readonly what: 'day'; readonly date: string }
  | { readonly what: 'street'; readonly id: string };

const NOTHING: Selected = { what: 'nothing' };

/** What the eye is on: the selection, the day that is shown, the time of day. */
class Selection {
  now = $state.raw<Selected>(NOTHING);
  /** The day that board and map show; null for the whole week. */
  day = $state<string | null>(null);
  /** The time of day for closures, minutes from midnight; null for all day. */
  at = $state<number | null>(null);
  grouped = $state<'days' | 'gangs'>('days');
  /** How often the whole programme was asked to be shown on the map. */
  whole = $state(0);

  /** The job that was picked last, from which others are picked up to. */
  #last: string | null = null;

  /** The tool in hand on the map, if any. */
  tool = $state<'box' | 'lasso' | null>(null);

  /** Every job that is selected. */
  readonly ids = $derived<ReadonlySet<string>>(new Set(this.now.what === 'job' ? [this.now.id] : this.now.what === 'jobs' ? this.now.ids : []));
  readonly job = $derived(this.now.what === 'job' ? this.now.id : null);
  readonly street = $derived(this.now.what === 'street' ? this.now.id : null);
  /** The route that the selection lies in, if it lies in one. */
  readonly route = $derived(routeOf(this.now));

  pick(next: Selected): void {
    this.now = next;
    const date = dateOf(next);
    // A job that is left over a night is on several days: the one that is shown stays.
    if (this.day !== null && date !== null && !isOn(next, this.day)) this.day = date;
  }

  pickJob(id: string): void {
    this.pick({ what: 'job', id });
    this.#last = id;
  }

  /** Selects several jobs, or adds them to those that are; one alone is selected as one. */
  pickJobs(ids: readonly string[], adding = false): void {
    const all = [...new Set(adding ? [...this.ids, ...ids] : ids)];
    if (all.length === 0) this.clear();
    else this.pick(all.length === 1 ? { what: 'job', id: all[0]! } : { what: 'jobs', ids: all });
  }

  /** Adds a job to those selected, or takes it away. */
  turn(id: string): void {
    const ids = this.ids.has(id) ? [...this.ids].filter((one) => one !== id) : [...this.ids, id];
    this.pickJobs(ids);
    this.#last = id;
  }

  /** Adds every job of a list from the one that was picked last up to this one; this one alone where that is in no such list. */
  pickTo(id: string, listed: readonly string[]): void {
    const ends = [listed.indexOf(this.#last ?? ''), listed.indexOf(id)].sort((a, b) => a - b) as [number, number];
    const between = ends[0] < 0 ? [id] : listed.slice(ends[0], ends[1] + 1);
    const from = this.#last;
    this.pickJobs(between, true);
    this.#last = ends[0] < 0 ? id : from;
  }

  /** Takes a tool for the map into the hand, or puts it away. */
  take(tool: 'box' | 'lasso'): void {
    this.tool = this.tool === tool ? null : tool;
  }

  clear(): void {
    this.now = NOTHING;
  }

  /** Shows one day, or the week; what is selected elsewhere is let go. */
  show(date: string | null): void {
    this.day = date;
    const held = dateOf(this.now);
    if (date !== null && held !== null && held !== date && !isOn(this.now, date)) this.now = NOTHING;
  }

  /** How often what the map shows was asked to be selected. */
  inView = $state(0);

  /** Selects every job that the map shows just now. */
  pickInView(): void {
    this.inView += 1;
  }

  /** Brings every job and depot into the map's view. */
  showWhole(): void {
    this.whole += 1;
  }

  /** Lets go of what a new sheet no longer holds. */
  settle(sheet: Sheet | null): void {
    const held = this.now;
    const gone =
      (held.what === 'job' && !sheet?.jobs.some((job) => job.id === held.id)) ||
      (held.what === 'route' && !sheet?.plan?.columns.some((column) => column.key === held.key)) ||
      (held.what === 'street' && !sheet?.streets.some((street) => street.id === held.id));
    if (gone) this.now = NOTHING;
    if (held.what === 'jobs') {
      const there = new Set(sheet?.jobs.map((job) => job.id));
      if (held.ids.some((id) => !there.has(id))) this.pickJobs(held.ids.filter((id) => there.has(id)));
    }
    if (this.day !== null && !sheet?.days.some((day) => day.date === this.day)) this.day = null;
  }
}

function routeOf(held: Selected): string | null {
  if (held.what === 'route') return held.key;
  if (held.what === 'job') return programme.jobs.get(held.id)?.route ?? null;
  return null;
}

function isOn(held: Selected, date: string): boolean {
  return held.what === 'job' && [...programme.columns.values()].some((column) => column.date === date && column.jobs.includes(held.id));
}

function dateOf(held: Selected): string | null {
  if (held.what === 'day') return held.date;
  const route = routeOf(held);
  return route === null ? null : (programme.columns.get(route)?.date ?? null);
}

export const selection = new Selection();
