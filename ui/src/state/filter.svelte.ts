import type { JobView } from '../types/gangday';
import { programme } from './programme.svelte';

/** What a job can be sorted out by. */
export type Side = 'gang' | 'state' | 'work' | 'position' | 'priority';

/** What of a job the filter looks at: one word for each side. */
export type Traits = Readonly<Record<Side, string>>;

/** Which jobs the map shows: on each side those that are named; all, where nothing is. */
class Filter {
  #named = $state.raw<ReadonlyMap<Side, ReadonlySet<string>>>(new Map());

  readonly on = $derived(this.#named.size > 0);
  /** The jobs that pass. */
  readonly jobs = $derived((programme.sheet?.jobs ?? []).filter((job) => passes(traitsOf(job), this.#named)));

  names(side: Side, word: string): boolean {
    return this.#named.get(side)?.has(word) ?? false;
  }

  /** Names a word, or takes its name away. */
  turn(side: Side, word: string): void {
    const words = new Set(this.#named.get(side));
    if (!words.delete(word)) words.add(word);
    const next = new Map(this.#named);
    if (words.size === 0) next.delete(side);
    else next.set(side, words);
    this.#named = next;
  }

  clear(): void {
    this.#named = new Map();
  }
}

/** Whether a job has on each side one of the words that are named there. */
export function passes(traits: Traits, named: ReadonlyMap<Side, ReadonlySet<string>>): boolean {
  for (const [side, words] of named) if (!words.has(traits[side])) return false;
  return true;
}

function traitsOf(job: JobView): Traits {
  const stays = programme.stays.get(job.id);
  return {
    gang: programme.columns.get(job.route ?? '')?.gang ?? '',
    state: job.route === null ? unplanned(job.id) : (stays ?? 'planned'),
    work: job.work,
    position: job.position,
    priority: String(job.priority),
  };
}

/** What a job is that has no gang-day. */
function unplanned(job: string): string {
  if (programme.over.has(job)) return 'done';
  return programme.standing.has(job) ? 'stands' : 'not planned';
}

export const filter = new Filter();
