import { can, COMMANDS } from './commands';
import { desk } from './state/desk.svelte';
import { programme } from './state/programme.svelte';
import { selection } from './state/selection.svelte';

/** Runs the command of a key, unless the user is writing or a chord of the system is held. */
export function press(event: KeyboardEvent): void {
  if (event.altKey || event.defaultPrevented) return;
  if (event.ctrlKey || event.metaKey) {
    chord(event);
    return;
  }
  if (event.key === 'Escape') {
    leave(event);
    return;
  }
  if (writing(event.target) || desk.over !== null) return;
  if (/^[1-7]$/.test(event.key)) {
    showDay(Number(event.key));
    return;
  }
  run(event, event.key);
}

/** The chords that every program has: save, undo, redo. */
function chord(event: KeyboardEvent): void {
  const key = { s: 's', S: 'S', z: 'z', Z: 'Z', y: 'Z' }[event.key];
  if (key === undefined) return;
  const save = key.toLowerCase() === 's';
  if (save) event.preventDefault();
  if (desk.over === null && (save || !writing(event.target))) run(event, event.shiftKey ? key.toUpperCase() : key);
}

function run(event: KeyboardEvent, key: string): void {
  const command = COMMANDS.find((one) => one.key === key);
  if (command === undefined || !can(command)) return;
  event.preventDefault();
  command.run();
}

/** Esc puts away what lies on top, one thing at a time; planning it stops, the selection it lets go. */
function leave(event: KeyboardEvent): void {
  if (desk.over !== null) {
    desk.over = null;
    programme.refusal = null;
  } else if (programme.refusal !== null) programme.refusal = null;
  else if (programme.planning) void programme.stop();
  else if (writing(event.target)) (event.target as HTMLElement).blur();
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
