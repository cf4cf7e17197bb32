import type { Inset } from './camera';
import type { Spot } from './lasso';

/** A box on the screen, px. */
export interface Box {
  readonly left: number;
  readonly top: number;
  readonly wide: number;
  readonly tall: number;
}

/** So far one press of an arrow key goes, px. */
export const STEP = 20;

/** Where the arrow keys go on the screen. */
const WAYS: Readonly<Record<string, Spot>> = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, -STEP], ArrowDown: [0, STEP] };

/** The way of a key, px; undefined for any key but an arrow. */
export function wayOf(key: string): Spot | undefined {
  return WAYS[key];
}

/** The middle of what is free, given by its four edges on the screen. */
export function middleOf(free: Inset): Spot {
  return [(free.left + free.right) / 2, (free.top + free.bottom) / 2];
}

/** A box in the middle of what is free, a third as wide and as tall. */
export function begun(free: Inset): Box {
  const [x, y] = middleOf(free);
  const wide = Math.max(STEP, (free.right - free.left) / 3);
  const tall = Math.max(STEP, (free.bottom - free.top) / 3);
  return { left: x - wide / 2, top: y - tall / 2, wide, tall };
}

/** A box some way on, and how far the ground has to go instead where the edge of what is free stops it. */
export function moved(box: Box, [east, south]: Spot, free: Inset): { box: Box; ground: Spot } {
  const [left, right] = stopped(box.left, box.wide, east, free.left, free.right);
  const [top, bottom] = stopped(box.top, box.tall, south, free.top, free.bottom);
  return { box: { ...box, left, top }, ground: [right, bottom] };
}

/** A box wider to the east and taller to the south, or less so; never less than a step, nor beyond what is free. */
export function grown(box: Box, [east, south]: Spot, free: Inset): Box {
  const size = (now: number, more: number, spare: number): number => Math.max(STEP, Math.min(now + more, Math.max(STEP, spare)));
  return { ...box, wide: size(box.wide, east, free.right - box.left), tall: size(box.tall, south, free.bottom - box.top) };
}

/** A spot some way on, and how far the ground has to go instead. */
export function carried([x, y]: Spot, [east, south]: Spot, free: Inset): { spot: Spot; ground: Spot } {
  const [left, right] = stopped(x, 0, east, free.left, free.right);
  const [top, bottom] = stopped(y, 0, south, free.top, free.bottom);
  return { spot: [left, top], ground: [right, bottom] };
}

/** Where something so long comes to between two edges, and how far it would have gone beyond. */
function stopped(at: number, long: number, way: number, least: number, most: number): [number, number] {
  const to = Math.max(Math.min(least, at), Math.min(at + way, Math.max(most - long, at)));
  return [to, at + way - to];
}

/** The corners of a box. */
export function cornersOf({ left, top, wide, tall }: Box): Spot[] {
  return [[left, top], [left + wide, top], [left + wide, top + tall], [left, top + tall]];
}
