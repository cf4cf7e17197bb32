/** Minutes from midnight as a clock: 605 is `10:05`. Of the day from whose midnight they count, ISO, a time on a later one is named with it: `Tue 11:29`. */
export function clock(minutes: number, date: string | null = null): string {
  const whole = Math.round(minutes);
  const days = Math.floor(whole / DAY);
  const rest = whole - days * DAY;
  const text = `${two(Math.floor(rest / 60))}:${two(rest % 60)}`;
  return days > 0 && date !== null ? `${weekdayAfter(date, days)} ${text}` : text;
}

/** `07:50–14:35`; over the night of a day, ISO, `23:00–Tue 02:30`. */
export function span(from: number, to: number, date: string | null = null): string {
  return `${clock(from, date)}–${clock(to, date)}`;
}

/** Minutes from midnight to midnight. */
const DAY = 1440;

/** The short name of the day so many days after one. */
function weekdayAfter(iso: string, days: number): string {
  return new Date(Date.parse(`${iso}T00:00:00Z`) + days * DAY * 60_000).toLocaleDateString('en-GB', { weekday: 'short', timeZone: 'UTC' });
}

/** Minutes as a foreman says them: `45 min`, `2 h`, `2 h 5 min`. */
export function lasting(minutes: number): string {
  const h = Math.floor(minutes / 60);
  const m = Math.round(minutes - h * 60);
  if (h === 0) return `${m} min`;
  return m === 0 ? `${h} h` : `${h} h ${m} min`;
}

/** `1 job`, `3 jobs`. */
export function count(n: number, one: string, many = `${one}s`): string {
  return `${n.toLocaleString('en-GB')} ${n === 1 ? one : many}`;
}

/** `1–5 Mar 2027` from two ISO dates. */
export function weekOf(first: string, last: string): string {
  const a = new Date(`${first}T00:00:00Z`);
  const b = new Date(`${last}T00:00:00Z`);
  const tail = `${b.getUTCDate()} ${month(b)} ${b.getUTCFullYear()}`;
  if (first === last) return tail;
  if (a.getUTCFullYear() !== b.getUTCFullYear())
    return `${a.getUTCDate()} ${month(a)} ${a.getUTCFullYear()} – ${tail}`;
  if (a.getUTCMonth() !== b.getUTCMonth()) return `${a.getUTCDate()} ${month(a)} – ${tail}`;
  return `${a.getUTCDate()}–${tail}`;
}

/** The number of the ISO week of a date. */
function weekNumber(iso: string): number {
  const date = new Date(`${iso}T00:00:00Z`);
  // The week belongs to the year that its Thursday is in.
  date.setUTCDate(date.getUTCDate() + 4 - (date.getUTCDay() || 7));
  return Math.ceil((date.getTime() - Date.UTC(date.getUTCFullYear(), 0, 1)) / 86_400_000 / 7 + 1 / 7);
}

/** `now week 10` where a programme is named after another week than the one that begins then; else empty. */
export function otherWeek(name: string, first: string): string {
  const named = /\bweek\s*(\d{1,2})\b/i.exec(name)?.[1];
  if (named === undefined) return '';
  const now = weekNumber(first);
  return Number(named) === now ? '' : `now week ${now}`;
}

/** The day's short name: `Mon` of `Mon 1 Mar`. */
export function weekday(name: string): string {
  return name.split(' ')[0] ?? name;
}

function month(date: Date): string {
  return date.toLocaleDateString('en-GB', { month: 'short', timeZone: 'UTC' }).slice(0, 3);
}

function two(n: number): string {
  return String(n).padStart(2, '0');
}

/** `25 February 2027` from an ISO date. */
export function longDate(iso: string): string {
  return new Date(`${iso}T00:00:00Z`).toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' });
}

/** `25/02/2027` from an ISO date. */
export function shortDate(iso: string): string {
  return iso.split('-').reverse().join('/');
}

/** The time of day that was typed, as `08:05`; null where it is none. */
export function timeOf(typed: string): string | null {
  const [, hour, minute] = /^\s*(\d{1,2})[:.]?(\d{2})\s*$/.exec(typed) ?? [];
  if (hour === undefined || minute === undefined || Number(hour) > 23 || Number(minute) > 59) return null;
  return `${two(Number(hour))}:${minute}`;
}

/** Where a job is, as it is spoken of: what people call it and its street, which is not said twice. */
export function placeOf({ called, street }: { readonly called: string | null; readonly street: string | null }): string {
  if (called === null || street === null) return called ?? street ?? '';
  return called.toLowerCase().includes(street.toLowerCase()) ? called : `${called}, ${street}`;
}

/** A key as it is written: a capital is the key with Shift. */
export function keyName(key: string): string {
  if (key === 'Delete') return 'del';
  return /^[A-Z]$/.test(key) ? `⇧ ${key.toLowerCase()}` : key;
}

/** A key as WAI-ARIA 1.2 has it in `aria-keyshortcuts`. */
export function keyShortcut(key: string): string {
  if (key === '+') return 'Plus';
  return /^[A-Z]$/.test(key) ? `Shift+${key}` : key;
}

/** Numbers of five figures and more in threes: `14,292.2`. */
export function grouped(text: string): string {
  return text.replaceAll(/(?<![\d.,])\d{5,}/g, (number) => Number(number).toLocaleString('en-GB'));
}
