import type { PlanView } from '../types/gangday';

/** The jobs that are listed as not planned for a reason of this code. */
export function coded(plan: PlanView | null, code: string): ReadonlySet<string> {
  return new Set((plan?.unplanned ?? []).filter((one) => one.codes.includes(code)).map((one) => one.job));
}
