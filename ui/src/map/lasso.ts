/** A point on the screen, px. */
export type Spot = readonly [number, number];

/** Whether a point lies within a ring, by the even-odd rule; a point on the edge may count either way. */
export function within([x, y]: Spot, ring: readonly Spot[]): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i, i += 1) {
    const [xi, yi] = ring[i] ?? [0, 0];
    const [xj, yj] = ring[j] ?? [0, 0];
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}

/** The corners of the box between two points. */
export function boxOf([x1, y1]: Spot, [x2, y2]: Spot): Spot[] {
  return [[x1, y1], [x2, y1], [x2, y2], [x1, y2]];
}

/** Which of some places lie in a ring on the screen. */
export function caught<T extends { readonly at: readonly [number, number] }>(all: readonly T[], ring: readonly Spot[], project: (at: readonly [number, number]) => Spot): T[] {
  if (ring.length < 3) return [];
  return all.filter((one) => within(project(one.at), ring));
}
