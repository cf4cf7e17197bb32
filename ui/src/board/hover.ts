import { desk } from '../state/desk.svelte';
import { hand } from '../state/hand.svelte';
import { placeAt } from './drag';

/** So near to where it was put down a second click means the same place, px at the plain text size. */
const SAME = 24;

/** Where the pointer was last on the board: a page that draws itself anew under a pointer at rest carries nothing. */
let last = { x: NaN, y: NaN };
/** Where it was put down against a rule, until that is said again. */
let doubt: { readonly x: number; readonly y: number } | null = null;

/** What was picked up by a key or a button goes with the pointer over the board, no button held. */
export function hover(event: PointerEvent): void {
  const { clientX: x, clientY: y } = event;
  const moved = x !== last.x || y !== last.y;
  last = { x, y };
  if (!moved || hand.held === null || hand.dragged || event.buttons !== 0 || hand.doubted) return;
  hand.pointer = { x, y };
  const over = placeAt(x, y);
  // On its way to the buttons of what is in hand it stays where it was held last.
  if (over !== null) hand.hold(over);
}

/** The pointer leaves the board: what is in hand stays over the gang-day that it was held over. */
export function leave(): void {
  if (!hand.dragged) hand.pointer = null;
}

/** A click puts what is in hand down; where that breaks a rule, so does a second one there. Says whether the click was for that. */
export function click(event: MouseEvent): boolean {
  // A layer that has the focus is pressed by a key: nobody points at anything.
  if (hand.held === null || hand.dragged || event.detail === 0) return false;
  const { clientX: x, clientY: y } = event;
  const over = placeAt(x, y);
  // The second half of a double click says nothing twice.
  if (over === null || event.detail > 1) return true;
  const again = hand.doubted && doubt !== null && over.key === hand.over?.key && Math.hypot(x - doubt.x, y - doubt.y) <= SAME * desk.rem;
  if (!again) hand.hold(over);
  doubt = { x, y };
  void hand.putDown();
  return true;
}
