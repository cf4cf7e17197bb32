import { programme } from './programme.svelte';

/** What has become of a job that is listed as not planned, in words that lead up to the reason. */
export function becomeOf(job: string): 'Done.' | 'Stands as issued.' | 'Left unfinished.' | 'Not planned.' {
  if (programme.over.has(job)) return 'Done.';
  if (programme.standing.has(job)) return 'Stands as issued.';
  return programme.unfinished.has(job) ? 'Left unfinished.' : 'Not planned.';
}
