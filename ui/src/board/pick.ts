import { selection } from '../state/selection.svelte';

/** What says with which keys something was pressed. */
type Keys = Pick<MouseEvent, 'ctrlKey' | 'metaKey' | 'shiftKey'>;

/** Takes a job into the selection or out of it with Ctrl, and all up to it with Shift, in the order that they are listed in; says whether the press was for that. */
export function picking(keys: Keys, job: string, listed: readonly string[]): boolean {
  if (keys.ctrlKey || keys.metaKey) selection.turn(job);
  else if (keys.shiftKey) selection.pickTo(job, listed);
  else return false;
  return true;
}
