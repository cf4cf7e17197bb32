import { dateOf, noDate } from './dates';
import { shortDate, timeOf } from './words';

/** A field's value as it is written in a form: dates day first, lists with commas, hours as spans. */
export function fieldText(kind: string, value: unknown): string {
  if (value === undefined || value === null) return '';
  if (kind === 'date') return shortDate(String(value));
  if (kind === 'flag' && typeof value === 'boolean') return value ? 'yes' : 'no';
  if (kind === 'texts' && Array.isArray(value)) return value.map(String).join(', ');
  if (kind === 'hours' && Array.isArray(value)) return value.map((span) => (Array.isArray(span) ? span.map(String).join('–') : String(span))).join(', ');
  return typeof value === 'object' ? JSON.stringify(value) : String(value);
}

/** A field's text as the value that it stands for; null for nothing, undefined where it is none. */
export function valueOf(kind: string, typed: string): unknown {
  const text = typed.trim();
  if (text === '') return null;
  if (kind === 'mm' || kind === 'count') return /^\d+$/.test(text) ? Number(text) : undefined;
  if (kind === 'flag') return /^(yes|no)$/i.test(text) ? text.toLowerCase() === 'yes' : undefined;
  if (kind === 'date') return dateOf(text) ?? undefined;
  if (kind === 'texts') return text.split(/\s*[,;]\s*/).filter((one) => one !== '');
  if (kind === 'hours') return hoursOf(text);
  return kind === 'long' ? typed : text;
}

/** How a field wants to be written, for who wrote this in it. */
export function wanted(kind: string, typed: string): string {
  if (kind === 'date') return noDate(typed);
  if (kind === 'flag') return 'Write yes or no.';
  if (kind === 'hours') return 'Write the hours as 09:30–15:30, several with commas.';
  return 'Write a whole number.';
}

/** `09:30–15:30, 19:00–22:00` as spans. */
function hoursOf(text: string): [string, string][] | undefined {
  const spans = text.split(/\s*[,;]\s*/).filter((one) => one !== '').map((one) => {
    const [from, to, ...more] = one.split(/\s*(?:–|-|to)\s*/).map((time) => timeOf(time));
    return from == null || to == null || more.length > 0 ? null : ([from, to] satisfies [string, string]);
  });
  return spans.every((span) => span !== null) ? spans : undefined;
}
