const MONTHS = ['january', 'february', 'march', 'april', 'may', 'june', 'july', 'august', 'september', 'october', 'november', 'december'];
/** As `Date` counts them. */
const WEEKDAYS = ['sunday', 'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday'];
const USUAL = 'Write the date as 1 Mar 2027 or 01/03/2027.';

/** What was typed as a date: its ISO date, or why it is none. */
type Read = { readonly iso: string } | { readonly why: string };

/** The ISO date of one as people here write it, the day first: `1/3/27`, `1-Mar-27`, `1st March 2027`, `Mon 1 Mar 2027`, or ISO itself; null where it is none. A year of two figures is one of this century. */
export function dateOf(typed: string): string | null {
  const read = readDate(typed);
  return 'iso' in read ? read.iso : null;
}

/** Why what was typed is no date, in words that say how to write one. */
export function noDate(typed: string): string {
  const read = readDate(typed);
  return 'why' in read ? read.why : '';
}

/** Today by the clock of this machine, ISO. */
export function isoToday(): string {
  const now = new Date();
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function readDate(typed: string): Read {
  const text = typed.trim().toLowerCase();
  const [, weekday, rest = ''] = /^(?:([a-z]{2,})\.?,?\s+)?(\d.*)$/.exec(text) ?? [];
  const parts = partsOf(rest);
  if (parts === null) return { why: USUAL };
  const [year, month, day] = parts;
  const iso = `${String(year).padStart(4, '0')}-${two(month)}-${two(day)}`;
  const date = new Date(`${iso}T00:00:00Z`);
  if (Number.isNaN(date.getTime()) || date.toISOString().slice(0, 10) !== iso) return { why: `The calendar has no such day; the day comes before the month. ${USUAL}` };
  const meant = weekday === undefined ? date.getUTCDay() : begins(WEEKDAYS, weekday, 2);
  if (meant < 0) return { why: USUAL };
  if (meant !== date.getUTCDay()) return { why: `${day} ${capital(MONTHS[month - 1]!)} ${year} is a ${capital(WEEKDAYS[date.getUTCDay()]!)}, not a ${capital(WEEKDAYS[meant]!)}. Put the day or the date right.` };
  return { iso };
}

/** Year, month and day of a date without its weekday; null where it is written in none of the ways that are read. */
function partsOf(text: string): [number, number, number] | null {
  const iso = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(text);
  if (iso !== null) return [Number(iso[1]), Number(iso[2]), Number(iso[3])];
  const figures = /^(\d{1,2})\s*[/.\- ]\s*(\d{1,2})\s*[/.\- ]\s*(\d{4}|\d{2})$/.exec(text);
  if (figures !== null) return [yearOf(figures[3]!), Number(figures[2]), Number(figures[1])];
  const named = /^(\d{1,2})(?:st|nd|rd|th)?[\s\-/.]*([a-z]+)[\s\-/.,]*(\d{4}|\d{2})$/.exec(text);
  const month = named === null ? -1 : begins(MONTHS, named[2]!, 3);
  return named === null || month < 0 ? null : [yearOf(named[3]!), month + 1, Number(named[1])];
}

/** Which of some names begins so, with so many letters at least; -1 where none does. */
function begins(names: readonly string[], letters: string, least: number): number {
  return letters.length < least ? -1 : names.findIndex((name) => name.startsWith(letters));
}

function yearOf(figures: string): number {
  return figures.length === 2 ? 2000 + Number(figures) : Number(figures);
}

function two(n: number): string {
  return String(n).padStart(2, '0');
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}
