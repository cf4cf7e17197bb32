import type { Column, Layer, WaitLayer } from '../types/gangday';
import { type Depth, y } from './depth';
import { laneCount, lanesOf } from './lanes';

/** A rectangle in pixels. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}

/** One piece of a gang-day as it is drawn. */
export interface Piece extends Box {
  readonly fill: 'work' | 'cure' | 'hold' | 'travel' | 'idle' | 'rest' | 'load' | 'unload';
  /** The job, if it belongs to one. */
  readonly job: string | null;
  /** The stage, for work; else empty. */
  readonly stage: string;
  /** The lane of its job; 0 where it has none. */
  readonly lane: number;
  /** `base_cure`, `mortar_set`, `initial_set` or `hold` for a wait, else empty. */
  readonly wait: string;
  readonly from: number;
  readonly to: number;
  readonly words: string;
  /** `locked` or `done` where it stays when the week is planned again, else empty. */
  readonly stays: string;
  /** `after` where its job is left over the night after it, `before` where it was left over one before it, else empty. */
  readonly night: string;
  /** How far the thread runs on to the next stage of the same job, px; 0 for none. */
  readonly thread: number;
}

/** A gap of paper between two layers, px. */
const JOINT = 1;

/** What a lane is at most and at least wide at the plain text size, px. */
const LANE = { most: 16, least: 5 } as const;

/** The pieces of a gang-day in a section so many pixels wide, waits after the work that they lie in. */
export function sectionOf(column: Column, depth: Depth, width: number, rem = 1): Piece[] {
  const lanes = lanesOf(column);
  const lane = laneWidth(width, laneCount(lanes), rem);
  const layers = overNight(column, column.layers.map((layer) => layerPiece(layer, lanes, lane, depth, width, laneCount(lanes))));
  const waits = column.waits.map((wait) => waitPiece(wait, lanes, lane, depth, width));
  return [...layers, ...waits];
}

/** The layers with those marked after which a job is left over the night, and those with which it is gone on. */
function overNight(column: Column, layers: readonly Piece[]): Piece[] {
  const work = (job: string): Piece[] => layers.filter((one) => one.fill === 'work' && one.job === job);
  const last = new Set(column.left.map((job) => work(job).at(-1)));
  const first = new Set(column.gone_on.map((job) => work(job)[0]));
  return layers.map((piece) => ({ ...piece, night: last.has(piece) ? 'after' : first.has(piece) ? 'before' : '' }));
}

/** How tall a run of layers of one job is from this piece on, px; 0 where it isn't the first of its run. */
export function runHeight(pieces: readonly Piece[], piece: Piece): number {
  const layers = pieces.filter((one) => one.wait === '');
  const at = layers.indexOf(piece);
  const same = (one: Piece | undefined): boolean => one?.fill === 'work' && one.job === piece.job;
  if (!same(piece) || same(layers[at - 1])) return 0;
  let end = at;
  while (same(layers[end + 1])) end += 1;
  const last = layers[end] ?? piece;
  return last.y + last.h - piece.y;
}

/** The width that no lane takes: what is written on a layer stands there. */
export function bodyWidth(column: Column, width: number, rem = 1): number {
  const count = laneCount(lanesOf(column));
  return width - count * laneWidth(width, count, rem);
}

/** The width of one lane: the lanes together never take more than half the section. */
export function laneWidth(width: number, count: number, rem = 1): number {
  return Math.max(LANE.least * rem, Math.min(LANE.most * rem, Math.floor(width / (2 * count))));
}

function layerPiece(layer: Layer, lanes: ReadonlyMap<string, number>, wide: number, depth: Depth, width: number, count: number): Piece {
  const own = layer.kind === 'work' && layer.job !== null ? (lanes.get(layer.job) ?? 0) : null;
  const w = own === null ? width - count * wide : width - own * wide;
  return {
    fill: layer.kind,
    job: layer.job,
    stage: layer.stage ?? '',
    lane: own ?? 0,
    wait: '',
    from: layer.from,
    to: layer.to,
    words: layer.words,
    stays: layer.stays ?? '',
    night: '',
    thread: 0,
    x: 0,
    w: Math.max(1, w),
    ...tall(depth, layer.from, layer.to),
  };
}

function waitPiece(wait: WaitLayer, lanes: ReadonlyMap<string, number>, wide: number, depth: Depth, width: number): Piece {
  const lane = lanes.get(wait.job) ?? 0;
  return {
    fill: wait.kind === 'hold' ? 'hold' : 'cure',
    job: wait.job,
    stage: '',
    lane,
    wait: wait.kind,
    from: wait.from,
    to: wait.to,
    words: wait.words,
    stays: '',
    night: '',
    thread: Math.max(0, (wait.next - wait.to) * depth.scale),
    x: width - (lane + 1) * wide,
    w: wide,
    ...tall(depth, wait.from, wait.to),
  };
}

function tall(depth: Depth, from: number, to: number): { y: number; h: number } {
  return { y: y(depth, from), h: Math.max(1, (to - from) * depth.scale - JOINT) };
}
