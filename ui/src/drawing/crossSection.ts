import { placeLines } from '../board/lettering';
import type { DimensionView, SectionView } from '../types/gangday';

/** A cross-section laid out on paper, px; one scale for both directions. */
export interface Layout {
  /** Px for one mm. */
  readonly scale: number;
  readonly width: number;
  readonly height: number;
  /** Where the middle of the chamber and the surface lie. */
  readonly middle: number;
  readonly surface: number;
  readonly across: readonly Drawn[];
  readonly down: readonly Drawn[];
  /** The scale bar. */
  readonly bar: { readonly mm: number; readonly px: number; readonly y: number };
}

/** One dimension: its line, and where its figure stands. */
export interface Drawn {
  readonly name: string;
  readonly mm: string;
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly tx: number;
  readonly ty: number;
  readonly anchor: 'start' | 'middle' | 'end';
}

/** Height of a line of figures, px. */
export const LINE = 13;
/** Room for a figure of four digits beside its line. */
const FIGURE = 30;
/** From the dig to the first dimension line. */
const GAP = 9;
/** Between levels of dimension lines above and below. */
const LEVEL = 17;

/** Lays the cross-section out in a sheet so many px wide, at most so many high; with names the figures on the right carry theirs. */
export function layOut(section: SectionView, wide: number, high: number, names = 0): Layout {
  const left = beside(lanes(section.down, -1), 0);
  const right = beside(lanes(section.down, 1), names);
  const above = Math.max(1, lanes(section.across, -1)) * LEVEL + 12;
  const below = lanes(section.across, 1) * LEVEL + 8;
  const scale = Math.min((wide - left - right) / Math.max(1, section.width), high / Math.max(1, section.depth));
  const half = (section.width * scale) / 2;
  const middle = left + (wide - left - right) / 2;
  const tall = section.depth * scale;
  const plumb = (hand: -1 | 1, room: number): Drawn[] => plumbs(section.down, hand, { scale, side: middle + hand * half, surface: above, tall, names: room });
  const bar = section.width > 800 ? 500 : 100;
  return {
    scale, width: wide, height: above + Math.max(tall, LINE * 4) + below + 18, middle, surface: above,
    across: section.across.map((one) => level(one, middle, above, tall, scale)),
    down: [...plumb(-1, 0), ...plumb(1, names)],
    bar: { mm: bar, px: bar * scale, y: above + tall + below + 10 },
  };
}

/** How many dimension lines there are on one hand. */
function lanes(all: readonly DimensionView[], hand: -1 | 1): number {
  return Math.max(0, ...all.map((one) => one.lane * hand));
}

function beside(many: number, names: number): number {
  return many === 0 ? 6 : GAP + many * FIGURE + (many - 1) * GAP + names + 4;
}

function level(one: DimensionView, middle: number, surface: number, tall: number, scale: number): Drawn {
  const y = one.lane < 0 ? surface + one.lane * LEVEL + 5 : surface + tall + one.lane * LEVEL - 1;
  const [x1, x2] = [middle + one.from[0] * scale, middle + one.to[0] * scale];
  return { name: one.name, mm: one.mm, x1, y1: y, x2, y2: y, tx: (x1 + x2) / 2, ty: y - 3, anchor: 'middle' };
}

interface Side {
  readonly scale: number;
  readonly side: number;
  readonly surface: number;
  readonly tall: number;
  readonly names: number;
}

/** The dimensions on one hand; in each lane the figures make room for one another. */
function plumbs(all: readonly DimensionView[], hand: -1 | 1, at: Side): Drawn[] {
  if (at.names > 0) return named(all, hand, at);
  const drawn: Drawn[] = [];
  for (let lane = 1; lane <= lanes(all, hand); lane++) {
    const own = all.filter((one) => one.lane === lane * hand);
    const middle = (one: DimensionView): number => ((one.from[1] + one.to[1]) / 2) * at.scale;
    const tops = placeLines(own.map((one) => ({ y: middle(one) - LINE / 2, rank: 0 })), LINE, Math.max(at.tall + LINE, own.length * LINE));
    const x = at.side + hand * (GAP + (lane - 1) * (FIGURE + GAP));
    own.forEach((one, i) => drawn.push({
      name: one.name, mm: one.mm, x1: x, y1: at.surface + one.from[1] * at.scale, x2: x, y2: at.surface + one.to[1] * at.scale,
      tx: x + hand * 6, ty: at.surface + (tops[i] ?? 0) + LINE - 3, anchor: hand < 0 ? 'end' : 'start',
    }));
  }
  return drawn;
}

/** The same with every figure, and its name, in one column beyond the last lane. */
function named(all: readonly DimensionView[], hand: -1 | 1, at: Side): Drawn[] {
  const own = all.filter((one) => one.lane * hand > 0);
  const line = LINE + 1;
  const middle = (one: DimensionView): number => ((one.from[1] + one.to[1]) / 2) * at.scale;
  const sorted = [...own].sort((a, b) => middle(a) - middle(b));
  const tops = placeLines(sorted.map((one) => ({ y: middle(one) - line / 2, rank: 0 })), line, Math.max(at.tall + line, own.length * line));
  const column = at.side + hand * (GAP + lanes(all, hand) * GAP + 12);
  return sorted.map((one, i) => {
    const x = at.side + hand * (GAP + (Math.abs(one.lane) - 1) * GAP);
    return {
      name: one.name, mm: one.mm, x1: x, y1: at.surface + one.from[1] * at.scale, x2: x, y2: at.surface + one.to[1] * at.scale,
      tx: column, ty: at.surface + (tops[i] ?? 0) + line - 3, anchor: hand < 0 ? 'end' : 'start',
    };
  });
}

/** Everything measured, for who can't see the drawing. */
export function inWords(section: SectionView): string {
  return [...section.across, ...section.down].map((one) => `${one.name} ${one.mm} mm`).join(', ');
}
