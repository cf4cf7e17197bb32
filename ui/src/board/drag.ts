import { hand, type Held } from '../state/hand.svelte';
import { minuteAt, type Depth } from './depth';

/** So far the pointer moves before it drags, px: a shaky click is still a click. */
const SLACK = 5;

/** Where on the board a point lies: the gang-day, and the time where it is not over its heading. */
export interface Landing {
  readonly key: string;
  readonly at: number | null;
}

/** The board as it is drawn, for whoever drags something onto it. */
export const board: { depth: Depth } = { depth: { from: 0, to: 1440, scale: 1 } };

/** Picks something up where the pointer moves on with it, and puts it down on the board where it is let go. */
export function beginDrag(event: PointerEvent, held: Held): void {
  if (event.button !== 0) return;
  const start = { x: event.clientX, y: event.clientY };
  let dragging = false;

  const move = (moved: PointerEvent): void => {
    if (!dragging && Math.hypot(moved.clientX - start.x, moved.clientY - start.y) < SLACK) return;
    if (!dragging) {
      hand.take(held);
      dragging = hand.held === held;
    }
    if (!dragging || hand.held !== held) return end();
    carryTo(moved.clientX, moved.clientY);
  };

  const drop = (): void => {
    const held = dragging && hand.held !== null;
    end();
    if (!held) return;
    swallowClick();
    letFall();
  };

  const end = (): void => {
    window.removeEventListener('pointermove', move);
    window.removeEventListener('pointerup', drop);
    window.removeEventListener('pointercancel', cancel);
  };

  const cancel = (): void => {
    end();
    hand.letGo();
  };

  window.addEventListener('pointermove', move);
  window.addEventListener('pointerup', drop);
  window.addEventListener('pointercancel', cancel);
}

/** Drags what is in hand to a point on the screen. */
export function carryTo(x: number, y: number): void {
  hand.dragged = true;
  hand.pointer = { x, y };
  hand.hold(placeAt(x, y));
}

/** Where what is in hand would go at a point on the screen: only a job has a time of day. */
export function placeAt(x: number, y: number): Landing | null {
  const landing = landingAt(x, y, board.depth);
  return landing === null || hand.held?.what === 'job' ? landing : { key: landing.key, at: null };
}

/** Puts what is in hand down where it is held; over nothing it is let go. */
export function letFall(): void {
  hand.pointer = null;
  hand.dragged = false;
  if (hand.over === null) hand.letGo();
  else void hand.putDown().then((done) => {
    if (!done && !hand.doubted && hand.refused === '') hand.letGo();
  });
}

/** The gang-day under a point. */
export function landingAt(x: number, y: number, depth: Depth): Landing | null {
  const under = document.elementFromPoint(x, y);
  const body = under?.closest<HTMLElement>('[data-route]');
  if (body?.dataset['route'] !== undefined) {
    return { key: body.dataset['route'], at: minuteAt(depth, y - body.getBoundingClientRect().top) };
  }
  const head = under?.closest<HTMLElement>('[data-head]');
  const key = head?.dataset['head'];
  return key === undefined ? null : { key, at: null };
}

/** The click that ends a drag picks nothing. */
function swallowClick(): void {
  const swallow = (event: Event): void => {
    event.stopPropagation();
    event.preventDefault();
  };
  window.addEventListener('click', swallow, { capture: true, once: true });
  setTimeout(() => window.removeEventListener('click', swallow, { capture: true }), 0);
}
