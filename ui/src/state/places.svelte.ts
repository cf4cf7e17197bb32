import { groupsOf } from '../board/groups';
import { programme } from './programme.svelte';
import { selection } from './selection.svelte';

/** The places of the board from left to right, as the sheet has them: what is only tried moves none of them. */
class Places {
  readonly groups = $derived(programme.sheet === null ? [] : groupsOf(programme.sheet, selection.grouped, selection.day));
  readonly slots = $derived(this.groups.flatMap((group) => group.slots));
  readonly keys = $derived(this.slots.map((slot) => slot.key));
}

export const places = new Places();
