import { coded } from './codes';
import { kindless, openFolder, readMap, takeFile } from './commands';
import { attachAt } from './editing';
import { door, refusalOf, type Thing } from './host';
import { nameIn } from './importing';
import { basemap } from './state/basemap.svelte';
import { desk } from './state/desk.svelte';
import { drops } from './state/drops.svelte';
import { leaving } from './state/leaving.svelte';
import { intake } from './state/intake.svelte';
import { programme } from './state/programme.svelte';
import { selection } from './state/selection.svelte';
import type { Refusal } from './types/gangday';

/** What a thing is by its name, in the order in which several are taken: a programme before what goes into it, and what asks for a look last. */
const SORTS = ['programme', 'other', 'basemap', 'extract', 'picture', 'list'] as const;
type Sort = (typeof SORTS)[number];

/** Of these there is one at a time; what it is called where there are more. */
const ONE_OF: readonly (readonly [Sort, string])[] = [['programme', 'One programme is open'], ['list', 'One list is looked at'], ['basemap', 'One map lies under the works']];

interface Item {
  readonly name: string;
  readonly sort: Sort;
  take(): Promise<void>;
}

/** Takes in what was let go over the window: the host says where it lies. */
export async function takeThings(things: readonly Thing[]): Promise<void> {
  await takeAll(things.map((thing) => ({ name: nameIn(thing.path), sort: sortOf(thing), take: () => take(thing) })));
}

/** Takes in files that were let go over a page in a browser, which gives their bytes and not where they lie. */
export async function takeFiles(files: readonly File[]): Promise<void> {
  await takeAll(files.map((file) => ({ name: file.name, sort: byName(file.name, false), take: () => takeFile(file) })));
}

function sortOf({ path, is }: Thing): Sort {
  if (is === 'folder') return 'programme';
  return is === 'file' ? byName(path, true) : 'other';
}

function byName(name: string, opens: boolean): Sort {
  if (opens && /\.gpkg$/i.test(name)) return 'programme';
  if (/\.pmtiles$/i.test(name)) return 'basemap';
  if (/\.pbf$/i.test(name)) return 'extract';
  if (/\.(jpe?g|png|webp)$/i.test(name)) return 'picture';
  return /\.(geojson|json|csv|xlsx)$/i.test(name) ? 'list' : 'other';
}

/** Takes one after the other. What is refused is said together at the end, since each that is taken clears what was said before. */
async function takeAll(items: readonly Item[]): Promise<void> {
  const why = whyNot(items);
  if (why !== null) return tell([why]);
  const refused: Refusal[] = [];
  drops.taking = true;
  const opened = items.find((one) => one.sort === 'programme');
  if (opened !== undefined && !(await leaving.may(opened.name))) {
    drops.taking = false;
    return;
  }
  for (const item of [...items].sort((a, b) => SORTS.indexOf(a.sort) - SORTS.indexOf(b.sort))) {
    programme.refusal = null;
    await item.take().catch((thrown: unknown) => (programme.refusal = refusalOf(thrown)));
    if (programme.refusal !== null) refused.push(programme.refusal);
    // What was dropped with a programme is meant for it, and for no other.
    if (programme.refusal !== null && item.sort === 'programme') break;
  }
  drops.taking = false;
  tell(refused);
}

/** Why nothing of it can be taken now; null where it can. */
function whyNot(items: readonly Item[]): Refusal | null {
  const named = (of: readonly Item[]): string => of.map((one) => one.name).join(', ');
  const programmes = items.filter((one) => one.sort === 'programme');
  const again = `then drop ${named(items)} again. Nothing was taken in.`;
  if (drops.taking || programme.doing !== null || programme.planning) return coded('D-BUSY', `Gangday is at work. Wait until it is done, ${again}`);
  if (desk.over !== null && (desk.over !== 'open' || programmes.length === 0)) return coded('D-BUSY', `Put away what lies over the map and the board first (Esc), ${again}`);
  for (const [sort, what] of ONE_OF) {
    const same = items.filter((one) => one.sort === sort);
    if (same.length > 1) return coded('F-ONE', `${what} at a time: drop one of ${named(same)}. Nothing was taken in.`);
  }
  return null;
}

/** Says what was refused, where it can be seen: on the sheet that lies over everything, or else on the page. */
function tell(refused: readonly Refusal[]): void {
  if (refused.length === 0) return;
  const all = { text: refused.map((one) => one.text).join(' '), findings: refused.flatMap((one) => one.findings) };
  const onSheet = desk.over !== null && desk.over !== 'open';
  drops.refused = onSheet ? all : null;
  programme.refusal = onSheet ? null : all;
}

async function take(thing: Thing): Promise<void> {
  const { path } = thing;
  const name = nameIn(path);
  const sort = sortOf(thing);
  if (thing.is === 'nothing') refuse('F-READ', notHere(path));
  else if (sort === 'programme') await openFolder(path, true);
  else if (sort === 'basemap') basemap.take({ name, read: (from, length) => door().readDropped?.(path, from, length) ?? Promise.reject(new Error('it can’t be read here.')) });
  else if (sort === 'other') refuse('F-KIND', kindless(name));
  else if (programme.sheet === null || !programme.writes) refuse('D-OPEN', `Begin or open a programme first; then ${name} can be brought into it.`);
  else if (sort === 'extract') await readMap(path);
  else if (sort === 'list') await intake.look(name, '', path);
  else if (selection.job === null) refuse('D-SELECT', `Select a job first; then ${name} can be kept with it as a picture.`);
  else await attachAt(selection.job, path);
}

/** Why nothing is found at a path; a name with signs that are no text (UTF-8) comes with a stand-in for each of them. */
function notHere(path: string): string {
  if (path.includes('\uFFFD')) return `${nameIn(path)} has a name that is no text (UTF-8), so it can’t be found by it. Give it another name, then drop it again.`;
  return `${path} is no file or folder on this machine. Keep it here first, then drop it.`;
}

function refuse(code: string, text: string): void {
  programme.refusal = coded(code, text);
}
