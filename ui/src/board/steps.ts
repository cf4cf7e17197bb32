/** Something on the board that the arrow keys can stand on. */
export interface Stop {
  readonly from: number;
}

/** Where the arrow keys stand: a column, and a piece in it. */
export interface Foot {
  readonly column: number;
  readonly piece: number;
}

/** The stops of a column; asked for only where an arrow leads. */
export type StopsOf = (column: number) => readonly Stop[];

/** Where an arrow key leads among so many columns: up and down through a section, sideways to what the neighbour does at that time. */
export function step(stops: StopsOf, columns: number, foot: Foot, key: string): Foot {
  if (key === 'ArrowDown') return along(stops, foot, 1);
  if (key === 'ArrowUp') return along(stops, foot, -1);
  if (key === 'ArrowRight') return across(stops, columns, foot, 1);
  if (key === 'ArrowLeft') return across(stops, columns, foot, -1);
  if (key === 'Home') return { column: foot.column, piece: 0 };
  if (key === 'End') return { column: foot.column, piece: Math.max(0, stops(foot.column).length - 1) };
  return foot;
}

/** The keys that `step` knows. */
export const STEPS = ['ArrowDown', 'ArrowUp', 'ArrowLeft', 'ArrowRight', 'Home', 'End'];

function along(stops: StopsOf, foot: Foot, way: 1 | -1): Foot {
  const last = stops(foot.column).length - 1;
  return { column: foot.column, piece: Math.min(last, Math.max(0, foot.piece + way)) };
}

function across(stops: StopsOf, columns: number, foot: Foot, way: 1 | -1): Foot {
  const when = stops(foot.column)[foot.piece]?.from ?? 0;
  for (let column = foot.column + way; column >= 0 && column < columns; column += way) {
    const there = stops(column);
    if (there.length > 0) return { column, piece: nearest(there, when) };
  }
  return foot;
}

function nearest(stops: readonly Stop[], when: number): number {
  let best = 0;
  stops.forEach((stop, i) => {
    if (Math.abs(stop.from - when) < Math.abs((stops[best]?.from ?? 0) - when)) best = i;
  });
  return best;
}
