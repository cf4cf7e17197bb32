import { ask, door, refusalOf } from './host';
import { base64Of, nameIn } from './importing';
import { looking } from './state/eye';
import { desk } from './state/desk.svelte';
import { programme } from './state/programme.svelte';
import { selection } from './state/selection.svelte';
import { count } from './words';

/** What was copied last, for where the system's clipboard gives nothing back, whether it took it, and what it still has of before where it did not. */
const copied = { text: '', taken: false, before: '' };

function named(ids: readonly string[]): string {
  return ids.length === 1 ? (ids[0] ?? '') : count(ids.length, 'job');
}

/** Whether the programme can be changed just now. */
function free(): boolean {
  return programme.writes && programme.sheet !== null && programme.doing === null && !programme.planning;
}

/** Copies the jobs that are selected, as GeoJSON that other programs read; with `cut` they go. */
export async function copyJobs(cut = false): Promise<void> {
  const ids = [...selection.ids];
  if (!free()) return;
  if (ids.length === 0) {
    programme.said = `Select a job first, or several, then ${cut ? 'cut' : 'copy'} them.`;
    return;
  }
  // What is cut stays as it was copied until it is gone.
  if (cut) programme.doing = 'Cutting the jobs';
  try {
    const answer = await ask({ ask: 'copy', jobs: ids });
    if (answer.is !== 'copied') return;
    // A browser may keep its clipboard to itself; then what was copied is remembered here.
    Object.assign(copied, { before: copied.taken ? copied.text : copied.before, text: answer.text, taken: false });
    copied.taken = await toClipboard(answer.text);
    if (copied.taken) copied.before = '';
  } catch (thrown) {
    programme.refusal = refusalOf(thrown);
    return;
  } finally {
    if (cut) programme.doing = null;
  }
  if (cut) await remove(ids, `${named(ids)} cut. Paste puts ${ids.length === 1 ? 'it' : 'them'} elsewhere; undo takes it back.`);
  else programme.said = `${named(ids)} copied. Paste puts ${ids.length === 1 ? 'it' : 'them'} under the pointer, or in the middle of the map.`;
}

/** Whether the system's clipboard took a text. */
async function toClipboard(text: string): Promise<boolean> {
  return (await navigator.clipboard?.writeText(text).then(() => true, () => false)) ?? false;
}

/** Pastes what the system's clipboard has, or what was copied here last where the clipboard is kept from the page. */
export async function pasteCopied(): Promise<void> {
  await pasteJobs((await navigator.clipboard?.readText?.().catch(() => '')) ?? '');
}

/** Puts copied jobs down under the pointer, or in the middle of the map: those of the clipboard's text, or those copied here last where it has none. */
export async function pasteJobs(text: string): Promise<void> {
  if (!free()) return;
  // What the clipboard has is another text only if it took the one that was copied here.
  const theirs = text !== copied.before && isFeatures(text);
  const what = theirs || (text.trim() !== '' && copied.taken) ? text : copied.text;
  if (!isFeatures(what)) {
    programme.said = text.trim() === '' ? 'Copy jobs first, then paste them.' : 'What was copied holds no jobs. Copy jobs first, then paste them.';
    return;
  }
  const at = looking();
  const jobs = await programme.edit('Pasting', { ask: 'edit', edit: { do: 'paste', text: what, at: at === null ? null : [at[0], at[1]] } }, '');
  if (jobs === null) return;
  selection.pickJobs(jobs);
  programme.said = `${named(jobs)} pasted. Undo takes it back.`;
}

function isFeatures(text: string): boolean {
  return /^\s*\{/.test(text) && /"Feature(Collection)?"/.test(text);
}

/** Deletes the jobs that are selected. */
export async function deleteJobs(): Promise<void> {
  const ids = [...selection.ids];
  if (ids.length === 0) programme.said = 'Select a job first, or several, then delete them.';
  else await remove(ids, `${named(ids)} deleted. Undo takes it back.`);
}

async function remove(jobs: string[], done: string): Promise<void> {
  await programme.edit('Deleting', { ask: 'edit', edit: { do: 'delete', jobs } }, done);
}

/** Leads to the form of what is selected: to a field of one job, or to the first field of several. */
export function editStated(property = 'work'): void {
  if (selection.ids.size === 0) {
    programme.said = 'Select a job first, or several, then change what they state.';
    return;
  }
  desk.fold('notes', false);
  desk.fold('stated', false);
  desk.mending = { job: selection.job, property };
}

/** Puts a picture to a job. */
export async function attach(job: string, file: File): Promise<void> {
  if (!free()) return;
  const base64 = base64Of(new Uint8Array(await file.arrayBuffer()));
  await programme.edit('Keeping the picture', { ask: 'attach', job, name: file.name, base64, path: null }, `${file.name} is kept with ${job}. Undo takes it away.`);
}

/** Lets the user choose a picture by the host, which reads it where it lies; false where the host can't, and its bytes have to be sent. */
export async function choosePicture(job: string): Promise<boolean> {
  const choose = door().choosePicture;
  if (choose === undefined || !free()) return choose !== undefined;
  const path = await choose();
  if (path !== null) await attachAt(job, path);
  return true;
}

/** Puts a picture to a job that the host reads where it lies. */
export async function attachAt(job: string, path: string): Promise<void> {
  const name = nameIn(path);
  await programme.edit('Keeping the picture', { ask: 'attach', job, name, base64: '', path }, `${name} is kept with ${job}. Undo takes it away.`);
}
