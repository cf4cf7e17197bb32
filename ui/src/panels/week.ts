/** One thing that a week states once, as it is asked for in plain words. */
export interface WeekField {
  readonly name: string;
  readonly title: string;
  readonly kind: 'text' | 'nation' | 'date' | 'count' | 'number' | 'flag';
  readonly unit: string;
  /** What counts where nothing is stated. */
  readonly usual: string;
}

export const NATIONS: readonly string[] = ['England', 'Wales', 'Scotland', 'Northern Ireland'];

export const WEEK_FIELDS: readonly WeekField[] = [
  { name: 'name', title: 'What it is called', kind: 'text', unit: '', usual: '' },
  { name: 'nation', title: 'Nation whose law and codes apply', kind: 'nation', unit: '', usual: 'England' },
  { name: 'first_day', title: 'First day', kind: 'date', unit: '', usual: '' },
  { name: 'days', title: 'How long, weekends counted', kind: 'count', unit: 'days', usual: '5' },
  { name: 'plan_from', title: 'Nothing is planned before', kind: 'date', unit: '', usual: 'All of them' },
  { name: 'today', title: 'Day on which notices would go out', kind: 'date', unit: '', usual: '' },
  { name: 'nights', title: 'Most nights that works may be left open', kind: 'count', unit: 'nights', usual: '0' },
  { name: 'over_weekend', title: 'Works may be left open over a weekend or a holiday', kind: 'flag', unit: '', usual: '' },
  { name: 'temperature_c', title: 'Air temperature, where a day has none of its own', kind: 'number', unit: '°C', usual: '10' },
];

/** What has a place of its own in the form; the rates stand among the figures. */
const OWN: readonly string[] = [...WEEK_FIELDS.map((one) => one.name), 'holidays', 'temperatures', 'rates'];

/** The names of everything else that a week states. */
export function others(members: Readonly<Record<string, unknown>>): string[] {
  return Object.keys(members).filter((name) => !OWN.includes(name));
}

/** `Mon 1 Mar 2027` from an ISO date; anything else as it stands. */
export function dayName(iso: string): string {
  const date = new Date(`${iso}T00:00:00Z`);
  if (!/^\d{4}-\d{2}-\d{2}$/.test(iso) || Number.isNaN(date.getTime())) return iso;
  const part = (options: Intl.DateTimeFormatOptions): string => date.toLocaleDateString('en-GB', { ...options, timeZone: 'UTC' });
  return `${part({ weekday: 'short' })} ${date.getUTCDate()} ${part({ month: 'short' }).slice(0, 3)} ${date.getUTCFullYear()}`;
}

/** A temperature that was typed, degrees Celsius: `-1.5`, `−1,5 °C`; null where it is none. */
export function degreesOf(typed: string): number | null {
  const text = typed.replace('−', '-').replace(/\s*°?\s*C?\s*$/i, '').replace(',', '.').trim();
  return /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : null;
}

/** What a day states of the air: nothing, one figure, or by the hour; null where it is nothing of these. */
export type Air = { readonly is: 'none' } | { readonly is: 'one'; readonly degrees: number } | { readonly is: 'hours'; readonly hours: readonly (readonly [string, number])[] };

export function airOn(temperatures: unknown, date: string): Air {
  const stated = (typeof temperatures === 'object' && temperatures !== null ? temperatures : {}) as Record<string, unknown>;
  const own = stated[date];
  if (typeof own === 'number') return { is: 'one', degrees: own };
  if (typeof own !== 'object' || own === null || Array.isArray(own)) return { is: 'none' };
  const hours = Object.entries(own).filter((one): one is [string, number] => typeof one[1] === 'number');
  return { is: 'hours', hours: hours.sort(([a], [b]) => a.localeCompare(b)) };
}

/** The temperatures with another one on a day, the days in order; null where none is left. */
export function withAir(temperatures: unknown, date: string, air: Air): Record<string, unknown> | null {
  const stated = typeof temperatures === 'object' && temperatures !== null ? { ...(temperatures as Record<string, unknown>) } : {};
  if (air.is === 'none' || (air.is === 'hours' && air.hours.length === 0)) delete stated[date];
  else stated[date] = air.is === 'one' ? air.degrees : Object.fromEntries([...air.hours].sort(([a], [b]) => a.localeCompare(b)));
  const days = Object.entries(stated).sort(([a], [b]) => a.localeCompare(b));
  return days.length === 0 ? null : Object.fromEntries(days);
}

/** A day by the hour where it had one figure, and the other way round: the coldest hour, which cures slowest. */
export function turned(air: Air, usual: number): Air {
  if (air.is === 'hours') return { is: 'one', degrees: Math.min(...air.hours.map(([, degrees]) => degrees)) };
  const degrees = air.is === 'one' ? air.degrees : usual;
  return { is: 'hours', hours: [['06:00', degrees], ['13:00', degrees]] };
}

/** The days that are stated beside those of the week. */
export function otherDays(temperatures: unknown, days: readonly string[]): string[] {
  const stated = typeof temperatures === 'object' && temperatures !== null ? Object.keys(temperatures) : [];
  return stated.filter((date) => !days.includes(date)).sort();
}

/** The dates of the holidays, in order. */
export function holidaysOf(stated: unknown): string[] {
  return Array.isArray(stated) ? stated.filter((one): one is string => typeof one === 'string').sort() : [];
}

/** Whether a day is a Saturday or a Sunday. */
export function isWeekend(iso: string): boolean {
  return [0, 6].includes(new Date(`${iso}T00:00:00Z`).getUTCDay());
}
