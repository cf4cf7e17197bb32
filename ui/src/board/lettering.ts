/** A line of words that wants to stand beside its layer. */
export interface Wanted {
  /** Where it would like its top, px. */
  readonly y: number;
  /** The less, the more it matters; what doesn't fit is left out, the least first. */
  readonly rank: number;
}

/** How far a line may stand from its layer before a lesser one makes room for it, in lines. */
const DRIFT = 2.2;

/** Where the lines stand, in the same order; null for those left out. */
export function placeLines(wanted: readonly Wanted[], line: number, bottom: number): (number | null)[] {
  let kept = keep(wanted, Math.max(0, Math.floor(bottom / line)));
  for (;;) {
    const places = stand(wanted, kept, line, bottom);
    const worst = drifted(wanted, kept, places, line * DRIFT);
    const spared = worst === null ? null : lesser(wanted, kept, worst, line * 5);
    if (spared === null) return places;
    kept = kept.filter((i) => i !== spared);
  }
}

/** Every kept line at its layer or below the one before, and none below the bottom. */
function stand(wanted: readonly Wanted[], kept: readonly number[], line: number, bottom: number): (number | null)[] {
  const places: (number | null)[] = wanted.map(() => null);
  let free = 0;
  for (const i of kept) {
    const top = Math.max(free, wanted[i]?.y ?? 0);
    places[i] = top;
    free = top + line;
  }
  pullUp(kept, places, line, bottom);
  return places;
}

/** The line that stands furthest from its layer, if that is further than it may. */
function drifted(wanted: readonly Wanted[], kept: readonly number[], places: readonly (number | null)[], most: number): number | null {
  const away = (i: number): number => Math.abs((places[i] ?? 0) - (wanted[i]?.y ?? 0));
  const worst = [...kept].sort((a, b) => away(b) - away(a))[0];
  return worst !== undefined && away(worst) > most ? worst : null;
}

/** The least of the lines near this one, if any matters less than work does. */
function lesser(wanted: readonly Wanted[], kept: readonly number[], near: number, reach: number): number | null {
  const y = wanted[near]?.y ?? 0;
  const rank = (i: number): number => wanted[i]?.rank ?? 0;
  const close = kept.filter((i) => rank(i) > 0 && Math.abs((wanted[i]?.y ?? 0) - y) <= reach);
  const away = (i: number): number => Math.abs((wanted[i]?.y ?? 0) - y);
  return close.sort((a, b) => rank(b) - rank(a) || away(a) - away(b))[0] ?? null;
}

/** The places of the lines that matter most, as many as there is room for, from the top. */
function keep(wanted: readonly Wanted[], room: number): number[] {
  const all = wanted.map((_, i) => i);
  const rank = (i: number): number => wanted[i]?.rank ?? 0;
  const top = (i: number): number => wanted[i]?.y ?? 0;
  const best = all.sort((a, b) => rank(a) - rank(b) || top(a) - top(b)).slice(0, room);
  return best.sort((a, b) => top(a) - top(b) || a - b);
}

/** Moves lines that ran over the bottom up, and those above them out of their way. */
function pullUp(kept: readonly number[], places: (number | null)[], line: number, bottom: number): void {
  let limit = bottom - line;
  for (const i of [...kept].reverse()) {
    const now = places[i] ?? 0;
    if (now <= limit) return;
    places[i] = limit;
    limit -= line;
  }
}
