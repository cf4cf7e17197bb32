import { can, COMMANDS } from './commands';
import { desk } from './state/desk.svelte';
import { programme } from './state/programme.svelte';
import { selection } from './state/selection.svelte';

/** Runs the command of a key, unless the user is writing or a chord of the system is held. */
export function press(event: KeyboardEvent): void {
  if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
  if (event.key === 'Escape') {
    leave(event);
    return;
  }
  if (writing(event.target) || desk.over !== null) return;
  if (/^[1-7]$/.test(event.key)) {
    showDay(Number(event.key));
    return;
  }
  const command = COMMANDS.find((one) => one.key === event.key);
  if (command === undefined || !can(command)) return;
  event.preventDefault();
  command.run();
}

/** Esc leaves the field, then lets the selection go; a sheet that lies on top closes itself. */
function leave(event: KeyboardEvent): void {
  if (desk.over !== null) return;
  if (writing(event.target)) (event.target as HTMLElement).blur();
  else selection.clear();
}

function showDay(n: number): void {
  const worked = new Set(programme.plan?.columns.map((column) => column.date));
  const days = (programme.sheet?.days ?? []).filter((day) => day.working || worked.has(day.date));
  const day = days[n - 1];
  if (day !== undefined) selection.show(day.date);
}

function writing(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && target.matches('input:not([type=range]), textarea, select, [contenteditable]');
}
