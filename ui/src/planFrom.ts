import { isoToday } from './dates';
import { figures } from './state/figures.svelte';
import { programme } from './state/programme.svelte';
import { selection } from './state/selection.svelte';
import type { BoardDay } from './types/gangday';

/** The first day that is still planned; null where none is past, or all are. */
export function firstOpen(days: readonly BoardDay[]): BoardDay | null {
  return days.some((day) => day.past) ? (days.find((day) => !day.past) ?? null) : null;
}

/** Today, where it is a day of the week and others before it are still planned; else null. */
export function todayOf(days: readonly BoardDay[], today: string): BoardDay | null {
  const at = days.findIndex((day) => day.date === today);
  return at > 0 && !days[at - 1]!.past ? days[at]! : null;
}

/** What turning to a day would state: that day, or nothing where it is the one already or the week's first. */
export function turnedTo(days: readonly BoardDay[], date: string): string | null {
  return date === firstOpen(days)?.date || date === days[0]?.date ? null : date;
}

/** Plans from a day on, or the whole week again where that is so already. */
export async function planFrom(date: string): Promise<void> {
  const days = programme.sheet?.days ?? [];
  const from = turnedTo(days, date);
  const name = days.find((day) => day.date === date)?.name ?? date;
  const said = from === null ? 'Every day of the week can be planned again. Undo takes it back.' : `Planned from ${name} on. What is not recorded as done before it is under Put right; plan the rest to move it.`;
  if (!(await figures.put({ file: 'week.json', row: null }, { plan_from: from }, said))) programme.refusal = figures.refusal;
}

/** Plans from the day that the board shows; with the whole week shown, from today where that is in it. */
export function planFromHere(): void {
  const date = selection.day ?? todayOf(programme.sheet?.days ?? [], isoToday())?.date;
  if (date === undefined) programme.said = 'Show the day from which to plan first: its tab over the board, or its number.';
  else void planFrom(date);
}
