import type { BandView } from '../types/gangday';

/** One band of the street across, placed on paper. */
export interface Placed {
  readonly kind: string;
  readonly x: number;
  readonly w: number;
  /** Its width in words. */
  readonly words: string;
  /** Whether the words have room inside it. */
  readonly fits: boolean;
}

const NAMES: Record<string, string> = {
  footway: 'footway', carriageway: 'open', walkway: 'walkway', clearance: 'clear', works: 'works', closed: 'shut',
};

/** What a band is called. */
export function bandName(kind: string): string {
  return NAMES[kind] ?? kind;
}

/** The bands of a street in so many pixels, left as one looks along its line; slivers are left out. */
export function placeBands(bands: readonly BandView[], wide: number): Placed[] {
  if (bands.length === 0) return [];
  const left = Math.max(...bands.map((band) => band.to_m));
  const right = Math.min(...bands.map((band) => band.from_m));
  const scale = wide / Math.max(0.1, left - right);
  return bands
    .map((band) => {
      const metres = band.to_m - band.from_m;
      const w = metres * scale;
      return { kind: band.kind, x: (left - band.to_m) * scale, w, words: metres.toFixed(2), fits: w > 30 };
    })
    .filter((band) => band.w > 1)
    .sort((a, b) => a.x - b.x);
}
