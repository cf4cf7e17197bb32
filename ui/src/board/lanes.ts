import type { Column } from '../types/gangday';

/**
 * The lane of each job in a gang-day: 0 is the outermost.
 *
 * A job that starts while another one waits lies inside it, so it gets the next lane inwards; a lane is free
 * again once its job's last wait is over. That is what makes interleaving visible as one layer inside another.
 */
export function lanesOf(column: Column): Map<string, number> {
  const lanes = new Map<string, number>();
  const busyUntil: number[] = [];
  for (const job of column.jobs) {
    const [from, to] = reach(column, job);
    let lane = busyUntil.findIndex((until) => until <= from);
    if (lane < 0) lane = busyUntil.length;
    busyUntil[lane] = to;
    lanes.set(job, lane);
  }
  return lanes;
}

/** How many lanes a gang-day needs: at least one. */
export function laneCount(lanes: ReadonlyMap<string, number>): number {
  return Math.max(0, ...lanes.values()) + 1;
}

/** From a job's first work to the end of its last work or wait on that day. */
function reach(column: Column, job: string): [number, number] {
  const work = column.layers.filter((layer) => layer.kind === 'work' && layer.job === job);
  const waits = column.waits.filter((wait) => wait.job === job);
  const from = Math.min(...work.map((layer) => layer.from), ...waits.map((wait) => wait.from));
  const to = Math.max(...work.map((layer) => layer.to), ...waits.map((wait) => Math.max(wait.to, wait.next)));
  return [from, to];
}
