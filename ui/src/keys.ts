import { can, COMMANDS } from './commands';
import { tick } from 'svelte';
import { desk } from './state/desk.svelte';
import { hand } from './state/hand.svelte';
import { pin } from './state/pin.svelte';
import { programme } from './state/programme.svelte';
import { selection } from './state/selection.svelte';

/** Runs the command of a key, unless the user is writing or a chord of the system is held. */
export function press(event: KeyboardEvent): void {
  if (event.altKey || event.defaultPrevented) return;
  if (event.ctrlKey || event.metaKey) {
    chord(event);
    return;
  }
  if (hand.held !== null && carry(event)) return;
  if (pin.held !== null && carryPin(event)) return;
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

/** While something is in hand, arrows carry it, Enter puts it down, Escape lets it go; says whether the key was one of these. */
function carry(event: KeyboardEvent): boolean {
  if (event.key === 'Escape') hand.letGo();
  else if (event.key === 'Enter' && !(event.target instanceof HTMLElement && event.target.closest('[aria-label="In hand"]'))) void putDown();
  else if (event.key.startsWith('Arrow')) hand.step(event.key);
  else return false;
  event.preventDefault();
  return true;
}

/** While a pin is in hand, arrows carry it by a metre, with Shift by ten. */
function carryPin(event: KeyboardEvent): boolean {
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
  const far = event.shiftKey ? 10 : 1;
  if (event.key === 'Escape') pin.letGo();
  else if (event.key === 'Enter') void pin.putDown();
  else if (way !== undefined) pin.nudge((way[0] ?? 0) * far, (way[1] ?? 0) * far);
  else return false;
  event.preventDefault();
  return true;
}

/** Puts down what the keyboard has carried; the focus goes with it. */
async function putDown(): Promise<void> {
  const job = hand.job;
  if (!(await hand.putDown()) || job === null) return;
  await tick();
  document.querySelector<HTMLElement>(`[data-piece][data-job="${CSS.escape(job)}"]`)?.focus();
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
  else if (selection.tool !== null) selection.tool = null;
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
