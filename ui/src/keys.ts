import { after, can, COMMANDS } from './commands';
import { tick } from 'svelte';
import { copyJobs, pasteJobs } from './editing';
import { area } from './state/area.svelte';
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
  // What lies over the sheet, or is written in, has its keys for itself, also while something is in hand.
  const own = desk.over !== null || writing(event.target);
  if (!own && inHand(event)) return;
  if (event.key === 'Escape') {
    leave(event);
    return;
  }
  if (own || (!desk.letters && event.key.length === 1)) return;
  if (/^[1-7]$/.test(event.key)) {
    showDay(Number(event.key));
    return;
  }
  run(event, event.key);
}

/** Gives a key to what is in hand: jobs, a pin, a works area that is drawn; says whether it was one of theirs. */
function inHand(event: KeyboardEvent): boolean {
  if (hand.held !== null && carry(event)) return true;
  if (pin.held !== null && carryPin(event)) return true;
  return area.job !== null && drawArea(event);
}

/** While something is in hand, arrows carry it, Enter puts it down, Escape lets it go; says whether the key was one of these. */
function carry(event: KeyboardEvent): boolean {
  if (event.key === 'Escape') hand.letGo();
  else if (event.key === 'Enter' && !(event.target instanceof HTMLElement && event.target.closest('[aria-label="In hand"]'))) void putDown(event.repeat);
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

/** While a works area is drawn, arrows carry the corner in hand; Space sets it, Tab takes the next, Backspace takes it away, Enter keeps all. */
function drawArea(event: KeyboardEvent): boolean {
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
  const far = event.shiftKey ? 10 : 1;
  if (event.key === 'Escape') area.letGo();
  else if (event.key === 'Enter') void area.keep();
  else if (event.key === ' ') area.set();
  else if (event.key === 'Tab') area.turn(event.shiftKey ? -1 : 1);
  else if (event.key === 'Backspace' || event.key === 'Delete') area.drop();
  else if (way !== undefined) area.nudge((way[0] ?? 0) * far, (way[1] ?? 0) * far);
  else return false;
  event.preventDefault();
  return true;
}

/** Puts down what the keyboard has carried; the focus goes with it. A key that is kept down says it once. */
async function putDown(again: boolean): Promise<void> {
  const job = hand.job;
  if (again || !(await hand.putDown()) || job === null) return;
  await tick();
  document.querySelector<HTMLElement>(`[data-piece][data-job="${CSS.escape(job)}"]`)?.focus();
}

/** The chords that every program has: save, undo, redo, copy, cut; paste comes as an event of its own. */
function chord(event: KeyboardEvent): void {
  if ((event.key === 'c' || event.key === 'x') && !writing(event.target) && desk.over === null && getSelection()?.isCollapsed !== false) {
    void copyJobs(event.key === 'x');
    return;
  }
  const key = { s: 's', S: 'S', z: 'z', Z: 'Z', y: 'Z' }[event.key];
  if (key === undefined) return;
  const save = key.toLowerCase() === 's';
  if (save) event.preventDefault();
  if (desk.over === null && (save || !writing(event.target))) run(event, event.shiftKey ? key.toUpperCase() : key);
}

/** Pastes jobs, unless the user is writing. */
export function paste(event: ClipboardEvent): void {
  if (writing(event.target) || desk.over !== null) return;
  event.preventDefault();
  void pasteJobs(event.clipboardData?.getData('text/plain') ?? '');
}

function run(event: KeyboardEvent, key: string): void {
  const command = COMMANDS.find((one) => one.key === key);
  if (command === undefined) return;
  // A key that is kept down says no more than is done meanwhile.
  const later = !event.repeat && after(command);
  if (!later && !can(command)) return;
  event.preventDefault();
  if (!later) command.run();
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

/** Whether what has the focus takes letters of its own. */
export function writing(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && target.matches('input:not([type=range]), textarea, select, [contenteditable]');
}
