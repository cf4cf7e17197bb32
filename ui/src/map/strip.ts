import type { ClosureView } from '../types/gangday';

/** How many closures of one kind stand, over the hours: a stepped outline, as a path in a box. */
export interface Outline {
  readonly kind: 'footway' | 'lane' | 'road';
  readonly path: string;
}

const KINDS = ['footway', 'lane', 'road'] as const;

/** Minutes for one step of the outlines. */
const STEP = 10;

/** The outlines of all kinds, each standing on the one before, in a box of this size. */
export function outlinesOf(closures: readonly ClosureView[], hours: { from: number; to: number }, wide: number, tall: number): Outline[] {
  const steps = Math.max(1, Math.ceil((hours.to - hours.from) / STEP));
  const counts = KINDS.map((kind) => countsOf(closures.filter((one) => one.kind === kind), hours.from, steps));
  const most = Math.max(1, ...Array.from({ length: steps }, (_, i) => counts.reduce((sum, count) => sum + (count[i] ?? 0), 0)));
  const x = (step: number): number => (step / steps) * wide;
  const y = (count: number): number => tall - (count / most) * tall;
  const below = new Array<number>(steps).fill(0);
  return KINDS.map((kind, k) => {
    const foot = [...below];
    counts[k]!.forEach((count, i) => (below[i] = (below[i] ?? 0) + count));
    const top = below.map((count, i) => `L${x(i)} ${y(count)}H${x(i + 1)}`).join('');
    const back = foot.map((count, i) => `L${x(i + 1)} ${y(count)}H${x(i)}`).reverse().join('');
    return { kind, path: `M0 ${y(foot[0] ?? 0)}${top}${back}Z` };
  });
}

function countsOf(closures: readonly ClosureView[], from: number, steps: number): number[] {
  return Array.from({ length: steps }, (_, i) => {
    const start = from + i * STEP;
    return closures.filter((one) => one.from < start + STEP && one.to > start).length;
  });
}
