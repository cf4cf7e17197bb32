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

/** The first and the last minute that are drawn. */
export type Reach = Pick<Depth, 'from' | 'to'>;

/** From when to when columns reach, on whole hours and half ones; null where there are none. */
export function reachOf(columns: readonly Column[]): Reach | null {
  if (columns.length === 0) return null;
  const first = columns.reduce((least, column) => Math.min(least, column.shift_from, column.depart, column.layers[0]?.from ?? Infinity), Infinity);
  const last = columns.reduce((most, column) => Math.max(most, lastMinute(column)), -Infinity);
  return { from: Math.floor(first / 60) * 60, to: Math.ceil(last / 30) * 30 };
}

/** What takes in both; the first of them itself where that does. */
export function joined(one: Reach | null, other: Reach | null): Reach | null {
  if (one === null || other === null) return one ?? other;
  if (one.from <= other.from && one.to >= other.to) return one;
  return { from: Math.min(one.from, other.from), to: Math.max(one.to, other.to) };
}

/** Whether both reach from and to the same minutes. */
export function alike(one: Reach | null, other: Reach | null): boolean {
  return one?.from === other?.from && one?.to === other?.to;
}

/** The depth of so many pixels for what is drawn; of a day without anything in it, from 07:00 to 17:00. */
export function depthIn(reach: Reach | null, pixels: number): Depth {
  const { from, to } = reach ?? { from: 420, to: 1020 };
  return { from, to, scale: pixels / (to - from) };
}

/** The depth that takes in every column, in so many pixels. */
export function depthOf(columns: readonly Column[], pixels: number): Depth {
  return depthIn(reachOf(columns), pixels);
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

/** How far apart hours are written at least, px at the plain text size. */
const APART = 21;

/** The whole hours to write on the ruler; fewer where they would crowd, at a text so many times as large as plain. */
export function hours(depth: Depth, rem = 1): number[] {
  const least = (APART * rem) / depth.scale;
  const step = [60, 120, 180, 240, 360, 720].find((minutes) => minutes >= least) ?? Math.ceil(least / 1440) * 1440;
  const all: number[] = [];
  for (let m = Math.ceil(depth.from / step) * step; m <= depth.to; m += step) all.push(m);
  return all;
}

function lastMinute(column: Column): number {
  const layers = column.layers.map((layer) => layer.to);
  const waits = column.waits.map((wait) => wait.to);
  return Math.max(column.shift_to, column.back, ...layers, ...waits);
}
