import type { ClosureView } from '../types/gangday';

/** Minutes from midnight to midnight. */
const DAY = 1440;

/** One day of a closure: its date, and from when to when it is there, minutes from that midnight. */
export interface Stretch {
  readonly date: string;
  readonly from: number;
  readonly to: number;
}

/** The days of a closure, or of two that clash, each from when to when it is there. */
export function stretchesOf({ date, from, to }: Stretch): Stretch[] {
  return Array.from({ length: Math.max(1, Math.ceil(to / DAY)) }, (_, i) => ({
    date: i === 0 ? date : new Date(Date.parse(date) + i * 86_400_000).toISOString().slice(0, 10),
    from: i === 0 ? from : 0,
    to: Math.min(to - i * DAY, DAY),
  }));
}

/** The closures of a day, or of all days, each as it is there on that day; those that stand for days once for each. */
export function onDay(closures: readonly ClosureView[], day: string | null): ClosureView[] {
  return closures.flatMap((closure) => stretchesOf(closure).filter((one) => day === null || one.date === day).map((one) => ({ ...closure, ...one })));
}

/** How many jobs have a closure that is there, on one of these days at this time, or at any. */
export function standingAt(stretches: readonly ClosureView[], at: number | null): number {
  return new Set(stretches.filter((one) => at === null || (one.from <= at && at < one.to)).map((one) => one.job)).size;
}
