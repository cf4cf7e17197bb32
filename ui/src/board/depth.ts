import type { Column } from '../types/gangday';

/** Where a time lies: minutes run down the board as depth runs down a section. */
export interface Depth {
  /** The first minute that is drawn. */
  readonly from: number;
  /** The last. */
  readonly to: number;
  /** Pixels for a minute. */
  readonly scale: number;
}

/** The depth that takes in every column, on whole hours, in so many pixels. */
export function depthOf(columns: readonly Column[], pixels: number): Depth {
  if (columns.length === 0) return { from: 420, to: 1020, scale: pixels / 600 };
  const first = Math.min(...columns.map((column) => Math.min(column.shift_from, column.depart)));
  const last = Math.max(...columns.map(lastMinute));
  const from = Math.floor(first / 60) * 60;
  const to = Math.ceil(last / 30) * 30;
  return { from, to, scale: pixels / (to - from) };
}

/** How far down a time lies, px. */
export function y(depth: Depth, minute: number): number {
  return (minute - depth.from) * depth.scale;
}

/** The time at so many pixels down, to the nearest five minutes. */
export function minuteAt(depth: Depth, pixels: number): number {
  const minute = Math.round((depth.from + pixels / depth.scale) / 5) * 5;
  return Math.min(depth.to, Math.max(depth.from, minute));
}

/** The whole hours to write on the ruler, each second one where they would crowd. */
export function hours(depth: Depth): number[] {
  const step = depth.scale * 60 < 18 ? 120 : 60;
  const all: number[] = [];
  for (let m = Math.ceil(depth.from / step) * step; m <= depth.to; m += step) all.push(m);
  return all;
}

function lastMinute(column: Column): number {
  const layers = column.layers.map((layer) => layer.to);
  const waits = column.waits.map((wait) => wait.to);
  return Math.max(column.shift_to, column.back, ...layers, ...waits);
}
