import type { Selected } from '../state/selection.svelte';
import type { Refused } from '../state/aside.svelte';
import type { Place } from '../state/figures.svelte';
import type { FindingView, Sheet, Yard } from '../types/gangday';

/** Where a finding leads: what is selected there and the property that it is about; or the figure, the row of a file, or the command that mends it. */
export interface Lead {
  readonly words: string;
  readonly leads: Selected | null;
  readonly property: string | null;
  /** The figure of this key. */
  readonly figure?: string;
  /** The row of a file, with the member that it is about in `property`. */
  readonly row?: Place;
  /** What reading had to refuse. */
  readonly aside?: Refused;
  /** The row of the list that is being looked at, from 0. */
  readonly listed?: number;
  /** The key of the command that does it. */
  readonly command?: string;
}

/** Files whose rows are figures. */
const TABLES = ['method.json', 'materials.json'];
/** Files whose rows are opened as they stand. */
const ROWS = ['week.json', 'gangs.json', 'streets.geojson'];
/** Files of which a job, a street, a gang or a tip may be left out. */
const LISTS = ['jobs.geojson', 'streets.geojson', 'gangs.json'];

/** Faults of a whole file, of which nothing can be shown: it is mended where it was made, or another copy is opened. */
const UNREADABLE = ['F-JSON', 'F-UTF8', 'F-EMPTY', 'F-COLLECTION', 'F-SHAPE', 'F-TWICE', 'F-DAMAGED'];

/** What makes a file anew, where nothing in it can be shown to be mended: a command and what it is called. */
const ANEW: Readonly<Record<string, readonly [key: string, words: string]>> = {
  'jobs.geojson': ['i', 'Take in a list'],
  'streets.geojson': ['I', 'Import a map extract'],
  'gangs.json': ['D', 'Gangs and tips'],
  'week.json': ['W', 'The week'],
  'plan.json': ['p', 'Plan the week'],
  'network.json': ['I', 'Import the map extract again'],
  'issues.json': ['o', 'Open another, or this once it is mended'],
};

/** Codes that lead nowhere, each with why. */
export const NOWHERE: ReadonlyMap<string, string> = new Map([
  ['F-HEIGHT', 'it tells once of a whole file that heights are left out, and nothing is to be done'],
  ['J-NUMBER', 'it tells once of a whole file that ids are numbers, which count as text'],
  ['S-NUMBER', 'it tells once of a whole file that ids are numbers, which count as text'],
  ['G-NUMBER', 'it tells once of a whole file that ids are numbers, which count as text'],
]);

/** Where a finding is mended; null where it names no place. */
export function leadOf(finding: FindingView, sheet: Sheet): Lead | null {
  const parts = finding.place.split(', ').filter((part) => !/^line \d+/.test(part));
  const aside = ofAside(finding, parts, sheet);
  if (aside !== null) return aside;
  if (finding.row != null) return { words: `Row ${finding.row + 1}`, leads: null, property: null, listed: finding.row };
  if (finding.job !== null && sheet.jobs.some((job) => job.id === finding.job)) {
    const property = parts[0] === 'jobs.geojson' ? (parts.find((part, i) => i > 1 && /^[a-z_]+$/.test(part)) ?? null) : null;
    return { words: property === null ? finding.job : `${finding.job}, ${property.replaceAll('_', ' ')}`, leads: { what: 'job', id: finding.job }, property };
  }
  return ofOpening(finding) ?? ofFile(parts, sheet) ?? ofGangDay(parts, sheet) ?? ofMaking(finding, parts, sheet);
}

/** What reading had to refuse: it is no job, street, gang or tip, or another is called the same. */
function ofAside(finding: FindingView, [file = '', first]: readonly string[], sheet: Sheet): Lead | null {
  // A row of a list is not taken in because of a job that is left out.
  if (finding.code === 'J-THERE') return toAside('jobs.geojson', finding.job ?? finding.place, finding.job ?? finding.place);
  if (!LISTS.includes(file) || first === undefined || finding.severity !== 'fault' || UNREADABLE.includes(finding.code) || finding.code === 'G-NONE') return null;
  // What an edit is refused for is in no file yet.
  if (!sheet.findings.some((one) => one.code === finding.code && one.place === finding.place)) return null;
  // A fault that reading found in a gang or a tip leaves that one out, also where the other sort has one of its id.
  const read = finding.code.startsWith('G-');
  const sound = file === 'jobs.geojson' ? sheet.jobs : file === 'streets.geojson' ? sheet.streets : [...sheet.gangs, ...sheet.tips];
  if (!read && sound.some((one) => one.id === first) && !finding.code.endsWith('-DUP')) return null;
  return toAside(file, finding.place.slice(file.length + 2), first);
}

function toAside(file: string, place: string, called: string): Lead {
  return { words: `${called}, left out`, leads: null, property: null, aside: { file, place } };
}

function toCommand([command, words]: readonly [string, string]): Lead {
  return { words, leads: null, property: null, command };
}

function ofOpening({ code, place }: FindingView): Lead | null {
  if (code === 'F-READONLY') return toCommand(['S', 'Save elsewhere']);
  // One that is brought in is mended where it was made; nothing here opens it.
  const [file = ''] = place.split(', ');
  if (UNREADABLE.includes(code) && (file in ANEW || TABLES.includes(file) || file === 'diary.json' || /\.gpkg$/i.test(file))) return toCommand(['o', 'Open another, or this once it is mended']);
  if (code === 'F-LOST' && !(place in ANEW) && !TABLES.includes(place)) return toCommand(['H', 'History']);
  return null;
}

function ofFile(parts: readonly string[], sheet: Sheet): Lead | null {
  const [file = '', first, second] = parts;
  const isFigure = first !== undefined && isKey(first);
  if (TABLES.includes(file) || (isFigure && file === 'week.json')) return { words: isFigure ? first : 'Figures', leads: null, property: null, figure: isFigure ? first : '' };
  if (isKey(file)) return { words: file, leads: null, property: null, figure: file };
  if (/^(today|plan_from|notice_edition|bank_holidays)$/.test(file)) return ofWeek(file);
  if (!ROWS.includes(file)) return null;
  if (file === 'week.json') return ofWeek(first);
  const property = second !== undefined && /^[a-z_]+$/.test(second) ? second : null;
  const yard = file === 'gangs.json' ? yardOf(first, property, sheet) : null;
  const named = rowNamed(file, first, yard, sheet);
  if (named === null) return null;
  const leads: Selected | null = file === 'streets.geojson' ? { what: 'street', id: first ?? '' } : null;
  return { words: property === null ? named : `${named}, ${property.replaceAll('_', ' ')}`, leads, property, row: { file, row: first ?? null, yard } };
}

/** Whether this is the dotted name of a figure, and not that of a file. */
function isKey(text: string): boolean {
  return /^[a-z0-9_]+(\.[a-z0-9_]+)+$/.test(text) && !/\.(geo)?json$|\.gpkg$/.test(text);
}

function ofWeek(member: string | undefined): Lead {
  return { words: member === undefined ? 'The week' : `Week, ${member === 'temperature_c' ? 'temperature' : member.replaceAll('_', ' ')}`, leads: null, property: member ?? null, row: { file: 'week.json', row: null } };
}

/** Which has this id: the gang, where there is one and it isn't about a tip's place. */
function yardOf(id: string | undefined, property: string | null, sheet: Sheet): Yard {
  const isTip = sheet.tips.some((one) => one.id === id);
  return isTip && (property === 'at' || !sheet.gangs.some((one) => one.id === id)) ? 'tip' : 'gang';
}

/** What a gang, a tip or a street is called; null where there is no such row. */
function rowNamed(file: string, id: string | undefined, yard: Yard | null, sheet: Sheet): string | null {
  if (id === undefined) return null;
  const all: readonly { id: string; name: string | null }[] = file === 'streets.geojson' ? sheet.streets : yard === 'tip' ? sheet.tips : sheet.gangs;
  const row = all.find((one) => one.id === id);
  return row === undefined ? null : (row.name ?? row.id);
}

function ofGangDay(parts: readonly string[], sheet: Sheet): Lead | null {
  for (const part of parts) {
    const [, gang, date] = /^(.+) (\d{4}-\d{2}-\d{2})$/.exec(part) ?? [];
    const key = `${gang}@${date}`;
    const column = sheet.plan?.columns.find((one) => one.key === key);
    if (column === undefined) continue;
    const name = sheet.gangs.find((one) => one.id === gang)?.name ?? gang;
    const day = sheet.days.find((one) => one.date === date)?.name ?? date;
    return { words: `${name}, ${day}`, leads: { what: 'route', key }, property: null };
  }
  return null;
}

/** What is made anew: a file of which nothing is mended by hand, and the first job of what was recorded. */
function ofMaking({ code }: FindingView, [file = '', first]: readonly string[], sheet: Sheet): Lead | null {
  if (file === 'diary.json') {
    const job = sheet.plan?.columns.flatMap((column) => column.jobs)[0] ?? sheet.jobs[0]?.id;
    return job === undefined ? null : { words: `Record what was done, from ${job} on`, leads: { what: 'job', id: job }, property: null };
  }
  // A row that nobody has is made nowhere.
  if (NOWHERE.has(code) || (LISTS.includes(file) && first !== undefined && code !== 'G-NONE')) return null;
  const anew = ANEW[file];
  return anew === undefined ? null : toCommand(anew);
}
