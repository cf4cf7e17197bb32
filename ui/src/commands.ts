import { coded } from './codes';
import { attach, copyJobs, deleteJobs, editStated, pasteCopied } from './editing';
import { door, LARGEST_LIST, LARGEST_SENT } from './host';
import { area } from './state/area.svelte';
import { base64Of, extractWords, listTooLarge, nameIn, tooLarge } from './importing';
import { basemap } from './state/basemap.svelte';
import { recent } from './state/recent.svelte';
import { leaving } from './state/leaving.svelte';
import { opening } from './state/opening.svelte';
import { depth } from './state/depth.svelte';
import { figures } from './state/figures.svelte';
import { hand } from './state/hand.svelte';
import { intake } from './state/intake.svelte';
import { desk } from './state/desk.svelte';
import { clockwork } from './state/clockwork.svelte';
import { pin } from './state/pin.svelte';
import { programme } from './state/programme.svelte';
import { selection } from './state/selection.svelte';
import { isoToday } from './dates';
import { planFromHere } from './planFrom';
import type { DemoWeek, PlannedWork } from './types/gangday';

/** Something that the user can do, by its word or its key. */
export interface Command {
  readonly key: string;
  readonly word: string;
  readonly says: string;
  /** Whether it needs a programme, and one that can be written. */
  readonly needs: 'nothing' | 'door' | 'sheet' | 'plan';
  run(): void;
}

/** Everything that has a key, in the order of the list under "?". */
export const COMMANDS: readonly Command[] = [
  { key: 'o', word: 'Open', says: 'Open a programme (a folder or a .gpkg file) or the demo week', needs: 'door', run: () => void open() },
  { key: 'i', word: 'Take in', says: 'Look at a list of jobs (XLSX, CSV, GeoJSON) and take it in; or add an OpenStreetMap extract', needs: 'sheet', run: () => void chooseList() },
  { key: 'I', word: 'Import map', says: 'Add the streets of an OpenStreetMap extract', needs: 'sheet', run: () => void importMap() },
  { key: 'p', word: 'Plan', says: 'Plan the week', needs: 'sheet', run: () => void programme.makeWeek() },
  { key: 'r', word: 'Plan rest', says: 'Plan the rest again: what is done or locked stays', needs: 'plan', run: () => void programme.makeWeek(null, true) },
  { key: 'C', word: 'Plan from', says: 'Plan from the day that the board shows, or from today: nothing is put on a day before it any more; again, the whole week', needs: 'sheet', run: planFromHere },
  { key: 'v', word: 'Plans', says: 'Issue the plan, look at those issued, compare two', needs: 'plan', run: () => (desk.over = 'plans') },
  { key: 'x', word: 'Pick up', says: 'Pick up what is selected: a job or several, the visit that has the focus, or a gang-day; the pointer or the arrows carry it over the board, a click or Enter puts it down', needs: 'plan', run: pickUp },
  { key: 'X', word: 'Split day', says: 'Pick up the selected job and all that its gang-day does after it; the pointer or the arrows carry them, a click or Enter puts them down', needs: 'plan', run: splitDay },
  { key: 'j', word: 'Move pin', says: 'Carry the pin of the selected job: arrows a metre, with Shift ten; Enter puts it down', needs: 'sheet', run: () => (selection.job === null ? (programme.said = 'Select a job first, then carry its pin.') : pin.take(selection.job)) },
  { key: 'h', word: 'Add job', says: 'Add a job by a pin on the map: arrows carry it, Enter or a click puts it down', needs: 'sheet', run: () => pin.takeFresh() },
  { key: 'E', word: 'Change', says: 'Change what the selected jobs state, one or several at once', needs: 'sheet', run: () => editStated() },
  { key: 'N', word: 'Rename', says: 'Give the selected job another id', needs: 'sheet', run: () => editStated('id') },
  { key: 'A', word: 'Works area', says: 'Draw the works area of the selected job: arrows carry a corner, Space sets it, Tab goes to the next, Enter keeps it', needs: 'sheet', run: drawArea },
  { key: 'Delete', word: 'Delete', says: 'Delete the selected jobs', needs: 'sheet', run: () => void deleteJobs() },
  { key: 'ctrl c', word: 'Copy', says: 'Copy the selected jobs, as GeoJSON that other programs read', needs: 'sheet', run: () => void copyJobs() },
  { key: 'ctrl x', word: 'Cut', says: 'Cut the selected jobs: they are copied, and taken away', needs: 'sheet', run: () => void copyJobs(true) },
  { key: 'ctrl v', word: 'Paste', says: 'Paste copied jobs: they come down under the pointer, or in the middle of the map', needs: 'sheet', run: () => void pasteCopied() },
  { key: 'F', word: 'Figures', says: 'See every figure that the programme rests on, with its source, and change it', needs: 'sheet', run: () => figures.look() },
  { key: 'W', word: 'The week', says: 'Change the week: its days, holidays, nation, temperatures', needs: 'sheet', run: () => void figures.open({ file: 'week.json', row: null }) },
  { key: 'D', word: 'Gangs', says: 'See and change the gangs, their depots and the tips, or add one', needs: 'sheet', run: () => (desk.over = 'gangs') },
  { key: 'H', word: 'History', says: 'List what was done, and go back to any of it', needs: 'sheet', run: () => (desk.over = 'history') },
  { key: 'G', word: 'One more gang', says: 'See what one more gang would do', needs: 'plan', run: () => (desk.over = 'gang') },
  { key: 'k', word: 'Lock', says: 'Lock the selected job, or its whole gang-day, or unlock it', needs: 'plan', run: () => void turnLock() },
  { key: 'R', word: 'Done as planned', says: 'Record the selected jobs, the selected gang-day, or else all of the day that is shown, as done as planned: every stage not recorded yet ended when it was planned to', needs: 'plan', run: () => void recordAsPlanned() },
  { key: 'V', word: 'Done as issued', says: 'Record jobs that stand as issued in an earlier week, those selected or all of them, as done as issued', needs: 'plan', run: () => void recordAsIssued() },
  { key: 'B', word: 'Bring over', says: 'Bring jobs over that stand as issued in an earlier week, those selected or all of them, so that they are planned in this one', needs: 'plan', run: () => void bringOver() },
  { key: 's', word: 'Save', says: 'Save the programme', needs: 'sheet', run: () => void save() },
  { key: 'S', word: 'Save elsewhere', says: 'Save the programme in another folder or .gpkg file', needs: 'sheet', run: () => void saveElsewhere() },
  { key: 'c', word: 'Client page', says: 'Write the page for the client', needs: 'plan', run: () => void programme.clientPage() },
  { key: 'P', word: 'Pack', says: 'Write the whole pack: the page for the client, a sheet for each supplier and for each gang-day', needs: 'plan', run: () => void programme.pack() },
  { key: 'T', word: 'Tables', says: 'Write tables of jobs, visits, orders or closures for a spreadsheet', needs: 'sheet', run: () => (desk.over = 'tables') },
  { key: 'z', word: 'Undo', says: 'Take back the last change', needs: 'sheet', run: undo },
  { key: 'Z', word: 'Redo', says: 'Do it again', needs: 'sheet', run: redo },
  { key: '/', word: 'Find', says: 'Find a job or a street', needs: 'nothing', run: () => document.getElementById('find')?.focus() },
  { key: 'w', word: 'Week', says: 'Show the whole week', needs: 'nothing', run: () => showWeek() },
  { key: '0', word: 'Whole', says: 'Show the whole programme on the map', needs: 'nothing', run: () => selection.showWhole() },
  { key: 'q', word: 'Which', says: 'Choose which jobs the map shows', needs: 'nothing', run: () => document.getElementById('which-jobs')?.click() },
  { key: 'u', word: 'Box', says: 'Select by a box on the map: drag it, or arrows move it, with Shift they size it, and Enter selects; Shift and a drag does it at once', needs: 'nothing', run: () => selection.take('box') },
  { key: 'y', word: 'Lasso', says: 'Select by a lasso on the map: drag it, or arrows carry its corner, Space sets it, and Enter selects', needs: 'nothing', run: () => selection.take('lasso') },
  { key: 'a', word: 'All in view', says: 'Select every job that the map shows', needs: 'nothing', run: () => selection.pickInView() },
  { key: 'g', word: 'Group', says: 'Board by gangs or by days', needs: 'nothing', run: () => (selection.grouped = selection.grouped === 'days' ? 'gangs' : 'days') },
  { key: 'b', word: 'Board', says: 'Fold or unfold the board', needs: 'nothing', run: () => desk.fold('board') },
  { key: 'n', word: 'Notes', says: 'Fold or unfold the notes beside the map', needs: 'nothing', run: () => desk.fold('notes') },
  { key: 'f', word: 'Put right', says: 'Go to what is wrong', needs: 'nothing', run: () => reveal('wrong') },
  { key: 'm', word: 'Load', says: 'Go to the materials', needs: 'nothing', run: () => reveal('take') },
  { key: 'l', word: 'Play', says: 'Play the day’s closures, or stop', needs: 'nothing', run: () => clockwork.turn() },
  { key: 'd', word: 'Street', says: 'Go to clashes and deadlines', needs: 'nothing', run: () => reveal('street') },
  { key: 'e', word: 'Worked out', says: 'Show how the selected job is worked out', needs: 'nothing', run: showWorked },
  { key: 't', word: 'Theme', says: 'Paper by day, blue-black by night', needs: 'nothing', run: () => desk.switchTheme() },
  { key: '+', word: 'Larger', says: 'Larger text', needs: 'nothing', run: () => desk.setText(1) },
  { key: '-', word: 'Smaller', says: 'Smaller text', needs: 'nothing', run: () => desk.setText(-1) },
  { key: '?', word: 'Keys', says: 'List the keys', needs: 'nothing', run: () => (desk.over = 'keys') },
];

/** Whether a command can run now. */
export function can(command: Command): boolean {
  if (command.needs === 'nothing') return true;
  if (!programme.writes || programme.doing !== null || programme.planning) return false;
  if (command.key === 'P' && door().savePack === undefined) return false;
  if (command.key === 'T') return programme.sheet !== null && (door().saveFile ?? door().saveTable) !== undefined;
  if (command.key === 'z') return programme.sheet?.undo != null;
  if (command.key === 'Z') return programme.sheet?.redo != null;
  if (command.key === 'V' || command.key === 'B') return programme.standing.size > 0;
  if (command.needs === 'plan') return programme.plan !== null;
  return command.needs === 'door' || programme.sheet !== null;
}

/** Lets the user say what to open. */
export async function open(): Promise<void> {
  desk.over = 'open';
}

/** Opens the programme at a path and remembers it, unless it is to stay with what would be lost; whether that was asked before. */
export async function openFolder(folder: string, asked = false): Promise<void> {
  if (!asked && !(await leaving.may(nameIn(folder)))) return;
  if (!(await programme.change('Opening the programme', { ask: 'open', folder }, `Opened ${folder}`))) {
    void recent.look();
    return;
  }
  opening.anew();
  // Of a damaged file it is the copy that is open.
  recent.note(programme.sheet?.folder ?? folder);
  desk.over = null;
}

/** Begins a programme in a new file, and asks at once for its week: it is kept from its first change on. */
export async function beginProgramme(path: string): Promise<void> {
  if (!(await leaving.may(nameIn(path)))) return;
  const begun = await programme.change('Beginning the programme', { ask: 'begin', path, today: isoToday() }, `${nameIn(path)} is begun; every change is saved as it is made.`);
  if (!begun) return;
  opening.anew();
  recent.note(programme.sheet?.folder ?? path);
  await figures.open({ file: 'week.json', row: null });
}

/** Begins a programme where the user says, in the system's own dialog or by a path. */
export async function beginChosen(): Promise<void> {
  const choose = door().chooseNewFile;
  if (choose === undefined) {
    desk.over = 'begin';
    return;
  }
  const path = await choose();
  if (path != null) await beginProgramme(path);
}

/** Opens an invented week. */
export async function openDemo(week: DemoWeek): Promise<void> {
  if (!(await leaving.may('the demo week'))) return;
  if (await programme.change('Opening the demo week', { ask: 'open_demo', week }, 'The demo week is open.')) desk.over = null;
}

/** Takes in a file that was chosen, or dropped on a page in a browser: a list, a map extract, a map to lie under the works. */
export async function takeFile(file: File): Promise<void> {
  if (/\.pmtiles$/i.test(file.name)) basemap.takeFile(file);
  else if (programme.sheet === null || !programme.writes) programme.refusal = coded('D-OPEN', `Begin or open a programme first; then ${file.name} can be brought into it.`);
  else if (/\.pbf$/i.test(file.name) && file.size > LARGEST_SENT) programme.refusal = coded('F-LARGE', tooLarge(file.name, file.size, LARGEST_SENT, door().chooseExtract !== undefined));
  else if (/\.pbf$/i.test(file.name)) await importExtract(file.name, base64Of(new Uint8Array(await file.arrayBuffer())));
  else if (/\.(geojson|json|csv|xlsx)$/i.test(file.name) && file.size > LARGEST_LIST) programme.refusal = coded('F-LARGE', listTooLarge(file.name, file.size, LARGEST_LIST));
  else if (/\.(geojson|json|csv|xlsx)$/i.test(file.name)) await intake.look(file.name, base64Of(new Uint8Array(await file.arrayBuffer())));
  else if (/\.(jpe?g|png|webp)$/i.test(file.name) && selection.job !== null) await attach(selection.job, file);
  else if (/\.(jpe?g|png|webp)$/i.test(file.name)) programme.refusal = coded('D-SELECT', `Select a job first; then ${file.name} can be kept with it as a picture.`);
  else programme.refusal = coded('F-KIND', kindless(file.name));
}

/** Why a file of no kind that is known is not taken in. */
export function kindless(name: string): string {
  return `${name} is of no kind that can be brought in. Bring a list as XLSX, CSV or GeoJSON, a map extract (.osm.pbf), a map as PMTiles, or a picture for a job. A programme is a folder or a file that ends in .gpkg${door().watchDrops === undefined ? '; Open opens it by its path' : ''}.`;
}

/** Lets the user choose a folder in a dialog of the system and opens it. */
export async function openChosen(what: 'folder' | 'file' = 'folder'): Promise<void> {
  const folder = await (what === 'file' ? door().chooseFile?.() : door().chooseFolder?.());
  if (folder != null) await openFolder(folder);
}

/** Saves to where it was opened, or asks where to. */
export async function save(): Promise<void> {
  if (programme.sheet?.folder != null) {
    await programme.change('Saving', { ask: 'save', folder: null });
    return;
  }
  await saveElsewhere();
}

/** Asks where to and saves there; from then on that is where it is kept. */
export async function saveElsewhere(): Promise<void> {
  desk.over = 'save';
}

/** Shows every day on the board, and every job on the map. */
export function showWeek(): void {
  selection.show(null);
  selection.showWhole();
}

/** Lays the selected job's formulas, numbers and sources over the sheet. */
export function showWorked(): void {
  if (selection.job !== null && depth.possible) desk.over = 'worked';
}

/** Adds the streets and the road network of a map extract. */
export async function importExtract(name: string, base64: string): Promise<void> {
  const before = programme.sheet?.streets.length ?? 0;
  if (!(await programme.readExtract('Sending the map extract', { ask: 'import_extract', name, base64 }))) return;
  programme.said = extractWords(name, (programme.sheet?.streets.length ?? 0) - before);
}

/** Adds the streets of a map extract that the host reads where it lies; where it can't choose one, of a file that is sent to it. */
export async function importMap(): Promise<void> {
  const choose = door().chooseExtract;
  if (choose === undefined) {
    chooseFile();
    return;
  }
  const path = await choose();
  if (path !== null) await readMap(path);
}

/** Adds the streets of a map extract that the host reads where it lies. */
export async function readMap(path: string): Promise<void> {
  const before = programme.sheet?.streets.length ?? 0;
  if (await programme.readExtract('Opening the map extract', { ask: 'read_extract', path })) programme.said = extractWords(nameIn(path), (programme.sheet?.streets.length ?? 0) - before);
}

/** Picks up the layer that has the focus, or else the job or gang-day that is selected. */
function pickUp(): void {
  const on = document.activeElement instanceof HTMLElement ? document.activeElement : null;
  const job = on?.closest<HTMLElement>('[data-job]')?.dataset['job'] ?? selection.job;
  const day = on?.closest<HTMLElement>('[data-head]')?.dataset['head'] ?? (selection.now.what === 'route' ? selection.now.key : undefined);
  desk.fold('board', false);
  const layer = on?.closest<HTMLElement>('[data-piece]') ?? null;
  if (selection.now.what === 'jobs' && (layer === null || selection.ids.has(layer.dataset['job'] ?? ''))) {
    hand.take({ what: 'jobs', jobs: selection.now.ids, from: null });
    return;
  }
  if (on?.closest('[data-head]') == null && job !== null) hand.takeJob(job, on?.closest<HTMLElement>('[data-stage]')?.dataset['stage']);
  else if (day !== undefined && programme.columns.has(day)) hand.take({ what: 'day', from: day });
  else programme.said = 'Select a job or the heading of a gang-day first, then pick it up.';
}

/** Picks up the rest of a gang-day, from the job that has the focus or is selected. */
export function splitDay(): void {
  const on = document.activeElement instanceof HTMLElement ? document.activeElement : null;
  const job = on?.closest<HTMLElement>('[data-piece][data-job]')?.dataset['job'] ?? selection.job;
  if (job === null || programme.jobs.get(job)?.route == null) programme.said = 'Select a planned job first, then split its day there.';
  else hand.takeRest(job);
}

function drawArea(): void {
  if (selection.job === null) programme.said = 'Select a job first, then draw its works area.';
  else area.begin();
}

/** Locks the jobs that are selected, or unlocks them where all of them are locked. */
export async function turnLock(jobs: readonly string[] = selectedJobs()): Promise<void> {
  if (jobs.length === 0) {
    programme.said = 'Select a job or the heading of a gang-day first, then lock it.';
    return;
  }
  const locked = !jobs.every((job) => programme.stays.get(job) === 'locked');
  const what = jobs.length === 1 ? jobs[0] : `${jobs.length} jobs`;
  await programme.change('Marking it', { ask: 'mark', jobs: [...jobs], locked }, `${what} ${locked ? 'locked: planning again leaves it' : 'no longer locked'}.`);
}

/** Records as done, each stage at its planned finish, what is left to record of what is selected or named. */
export async function recordAsPlanned(of: PlannedWork | null = selectedWork()): Promise<void> {
  if (of === null) {
    programme.said = 'Select a job or the heading of a gang-day first, or show a day, then record it as done as planned.';
    return;
  }
  const told = await programme.tell('Recording it', { ask: 'record_as_planned', of });
  if (told !== null) programme.said = `${told} Undo takes it back.`;
}

/** Records jobs that stand as issued, those that are selected or all, as done when their issue has each stage of them end. */
export async function recordAsIssued(jobs: readonly string[] | null = selectedOrNone()): Promise<void> {
  const told = await programme.tell('Recording it', { ask: 'record_as_issued', jobs: jobs && [...jobs] });
  if (told !== null) programme.said = `${told} Undo takes it back.`;
}

/** Has jobs that stand as issued, those that are selected or all, planned like any other. */
export async function bringOver(jobs: readonly string[] | null = selectedOrNone()): Promise<void> {
  const told = await programme.tell('Bringing it over', { ask: 'bring_over', jobs: jobs && [...jobs] });
  if (told !== null) programme.said = `${told} Undo takes it back.`;
}

function selectedOrNone(): readonly string[] | null {
  return selection.ids.size > 0 ? [...selection.ids] : null;
}

function selectedWork(): PlannedWork | null {
  if (selection.ids.size > 0) return { what: 'jobs', ids: [...selection.ids] };
  if (selection.now.what === 'route') return { what: 'gang_day', key: selection.now.key };
  return selection.day === null ? null : { what: 'day', date: selection.day };
}

function selectedJobs(): readonly string[] {
  if (selection.ids.size > 0) return [...selection.ids].filter((id) => programme.jobs.get(id)?.route != null);
  return selection.now.what === 'route' ? (programme.columns.get(selection.now.key)?.jobs ?? []) : [];
}

function undo(): void {
  void step(() => programme.change('Taking it back', { ask: 'undo' }, `Taken back: ${programme.sheet?.undo ?? ''}`));
}

function redo(): void {
  void step(() => programme.change('Doing it again', { ask: 'redo' }, `Done again: ${programme.sheet?.redo ?? ''}`));
}

/** Whether a step of the history is under way, and what was pressed meanwhile, to be done after it. */
let stepping = false;
let pressed: Command[] = [];

async function step(change: () => Promise<boolean>): Promise<void> {
  stepping = true;
  const fine = await change();
  stepping = false;
  const next = fine ? pressed.shift() : undefined;
  if (next !== undefined && can(next)) next.run();
  else pressed = [];
}

/** Keeps an undo or a redo that is asked for while another is under way, and does it after that; whether it is such a one. */
export function after(command: Command): boolean {
  const kept = stepping && (command.key === 'z' || command.key === 'Z');
  if (kept) pressed.push(command);
  return kept;
}

/** Lets the user choose a list or a map extract: by the host, which reads it where it lies, or else as a file that is sent. */
async function chooseList(): Promise<void> {
  const choose = door().chooseList;
  if (choose === undefined) return chooseFile();
  const path = await choose();
  if (path === null) return;
  if (/\.pbf$/i.test(path)) await readMap(path);
  else await intake.look(nameIn(path), '', path);
}

function chooseFile(): void {
  document.getElementById('import-list')?.click();
}

function reveal(what: 'wrong' | 'take' | 'street'): void {
  desk.fold('notes', false);
  desk.fold(what, false);
  queueMicrotask(() => document.getElementById(`fold-${what}`)?.focus());
}
