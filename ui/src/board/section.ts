import type { Column, Layer, WaitLayer } from '../types/gangday';
import { type Depth, y } from './depth';
import { gangInk, layerInk, PAPER, type Theme } from '../drawing/gangs';
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

/** How tall the run of layers of one job is that begins with each piece, px; 0 where it isn't the first of its run. */
export function runsOf(pieces: readonly Piece[]): number[] {
  const runs = pieces.map(() => 0);
  let first = -1;
  let before: Piece | null = null;
  pieces.forEach((piece, i) => {
    if (piece.wait !== '') return;
    const work = piece.fill === 'work';
    if (work && before?.fill === 'work' && before.job === piece.job) runs[first] = piece.y + piece.h - (pieces[first]?.y ?? 0);
    else if (work) runs[(first = i)] = piece.h;
    before = piece;
  });
  return runs;
}

/** How a piece lies and what its gang fills it with, as the style of its box; the rest is in `styles/section.css`. */
export function laid(piece: Piece, gang: number, theme: Theme): string {
  const box = `left:${px(piece.x)};top:${px(piece.y)};width:${px(piece.w)};height:${px(piece.h)}`;
  if (piece.fill === 'work') {
    const { fill, on } = layerInk(gang, piece.lane, PAPER[theme]);
    return `${box};background-color:${fill};color:${on}`;
  }
  return piece.wait === '' ? box : `${box};border-color:${gangInk(gang).colour};--thread:${px(piece.thread)}`;
}

function px(value: number): string {
  return `${Math.round(value * 100) / 100}px`;
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
