import type { Theme } from './gangs';
import { INK } from './gangs';

/**
 * The hatches of a gang-day as small images that repeat. The page's patterns (`Hatches.svelte`) are made of the same; as images they are drawn once for each theme and size of text: a browser that draws without a
 * graphics card works a pattern of lines out anew for every piece of every gang-day, and lays an image down.
 */
export interface Tile {
  /** Width and height at the plain text size, px. */
  readonly w: number;
  readonly h: number;
  readonly weight: number;
  readonly lines: string;
  /** Places of round dots, and how thick they are. */
  readonly dots: readonly (readonly [number, number])[];
  readonly dot: number;
  /** How strongly it is drawn, 0 to 1. */
  readonly share: number;
}

const plain = { weight: 0.8, lines: '', dots: [], dot: 1.3, share: 1 };

/** By the name of the wait that they stand for, and `over` for what is worked after the shift, `rest` for a break. */
export const TILES: Readonly<Record<string, Tile>> = {
  base_cure: { ...plain, w: 12, h: 12, lines: 'M1.5 5.5l2-3.4 2 3.4zM7.5 11.5l2-3.4 2 3.4z', dots: [[8, 2.5], [10.6, 5], [2, 9.5], [5, 8.5], [0.8, 1.2], [6.6, 5.6]] },
  mortar_set: { ...plain, w: 6, h: 6, dots: [[1.2, 1.2], [4.2, 2.4], [2.4, 4.4], [5.4, 5.2]] },
  initial_set: { ...plain, w: 8, h: 8, lines: 'M-2 2l4-4M0 8l8-8M6 10l4-4', dots: [[1.6, 2.4], [5.8, 6.2]] },
  over: { ...plain, w: 5, h: 5, lines: 'M0 5l5-5', share: 0.35 },
  rest: { ...plain, w: 6, h: 3, dots: [[3, 1.5]], dot: 3 },
};

/** How a tile lies on the screen: whole pixels of it, and how large that is, px. */
export function tileSize(tile: Tile, rem: number, ratio: number): { wide: number; tall: number; w: number; h: number } {
  const whole = (size: number): number => Math.max(1, Math.round(size * rem * ratio));
  const [wide, tall] = [whole(tile.w), whole(tile.h)];
  return { wide, tall, w: wide / ratio, h: tall / ratio };
}

/** The tiles of a theme as declarations for a style sheet; a machine that can't draw has none. */
export function tilesOf(theme: Theme, rem: number, ratio: number): [string, string][] {
  return Object.entries(TILES).flatMap(([name, tile]): [string, string][] => {
    const { wide, tall, w, h } = tileSize(tile, rem, ratio);
    const image = drawn(tile, wide, tall, INK[theme]);
    return image === '' ? [] : [[`--tile-${name}`, `url(${image}) 0 0 / ${w}px ${h}px`]];
  });
}

function drawn(tile: Tile, wide: number, tall: number, ink: string): string {
  const canvas = document.createElement('canvas');
  canvas.width = wide;
  canvas.height = tall;
  const pen = canvas.getContext('2d', { willReadFrequently: true });
  if (pen === null) return '';
  pen.scale(wide / tile.w, tall / tile.h);
  pen.globalAlpha = tile.share;
  pen.strokeStyle = ink;
  pen.fillStyle = ink;
  pen.lineWidth = tile.weight;
  pen.stroke(new Path2D(tile.lines));
  for (const [x, y] of tile.dots) {
    pen.beginPath();
    pen.arc(x, y, tile.dot / 2, 0, 2 * Math.PI);
    pen.fill();
  }
  return canvas.toDataURL('image/png');
}
