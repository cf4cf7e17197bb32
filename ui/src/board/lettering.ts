/** A line of words that wants to stand beside its layer. */
export interface Wanted {
  /** Where it would like its top, px. */
  readonly y: number;
  /** The less, the more it matters; what doesn't fit is left out, the least first. */
  readonly rank: number;
}

/** Where the lines stand, in the same order; null for those left out. */
export function placeLines(wanted: readonly Wanted[], line: number, bottom: number): (number | null)[] {
  const room = Math.max(0, Math.floor(bottom / line));
  const kept = keep(wanted, room);
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
