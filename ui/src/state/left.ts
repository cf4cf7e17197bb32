import type { Column, PlannedWork } from '../types/gangday';

/** How many stages of some work are planned, and how many of these are not recorded yet. */
export interface Left {
  readonly planned: number;
  readonly left: number;
}

/** What the plan has of some work, and what of that is not recorded yet; `recorded` holds job and stage of what is. */
export function leftOf(work: PlannedWork, columns: ReadonlyMap<string, Column>, recorded: ReadonlySet<string>): Left {
  let planned = 0;
  let left = 0;
  const ids = work.what === 'jobs' ? new Set(work.ids) : null;
  const own =
    work.what === 'jobs' ? columns.values()
    : work.what === 'day' ? [...columns.values()].filter((column) => column.date === work.date)
    : [columns.get(work.key)].filter((column) => column !== undefined);
  for (const { layers } of own)
    for (const { job, stage } of layers) {
      if (job === null || stage === null || (ids !== null && !ids.has(job))) continue;
      planned += 1;
      if (!recorded.has(`${job} ${stage}`)) left += 1;
    }
  return { planned, left };
}
