import type { Group } from './groups';

/** Where the places of the board lie from left to right, px. */
export interface Spread {
  /** Width of a place. */
  readonly width: number;
  /** Between two places of a group. */
  readonly gap: number;
  /** After each group. */
  readonly groupGap: number;
}

/** A group, and which of its places are drawn. */
export interface Shown {
  readonly group: Group;
  /** The place in the board that is its first. */
  readonly before: number;
  /** How wide it is, px. */
  readonly wide: number;
  /** The first and the one after the last of its places that are drawn. */
  readonly from: number;
  readonly to: number;
}

/** So few places are always drawn, in view or not. */
const FEW = 80;

/** How wide a group of so many places is, px. */
function groupWidth(places: number, { width, gap }: Spread): number {
  return Math.max(0, places * (width + gap) - gap);
}

/** Which places lie between two edges, px from the first one; groups in which none does draw nothing. */
export function shownOf(groups: readonly Group[], spread: Spread, left: number, right: number): Shown[] {
  const all = groups.reduce((sum, group) => sum + group.slots.length, 0) <= FEW;
  let x = 0;
  let before = 0;
  return groups.map((group) => {
    const places = group.slots.length;
    const wide = groupWidth(places, spread);
    const pitch = spread.width + spread.gap;
    const within = (edge: number): number => Math.min(places, Math.max(0, edge));
    const shown = {
      group, before, wide,
      from: all ? 0 : within(Math.floor((left - x) / pitch)),
      to: all ? places : within(Math.ceil((right - x) / pitch)),
    };
    x += wide + spread.groupGap;
    before += places;
    return shown;
  });
}

/** The same, with those of before that are no other as they were: who draws them has nothing to do then. */
export function kept(next: readonly Shown[], before: readonly Shown[]): readonly Shown[] {
  const same = (one: Shown, was: Shown | undefined): boolean => was?.group === one.group && was.before === one.before && was.wide === one.wide && was.from === one.from && was.to === one.to;
  return next.map((one, i) => (same(one, before[i]) ? before[i]! : one));
}

/** Where a place begins, px from the first one. */
export function placeLeft(groups: readonly Group[], spread: Spread, column: number): number {
  let x = 0;
  let before = 0;
  for (const group of groups) {
    if (column < before + group.slots.length) return x + (column - before) * (spread.width + spread.gap);
    x += groupWidth(group.slots.length, spread) + spread.groupGap;
    before += group.slots.length;
  }
  return x;
}
