import index from '../../docs/codes.md?raw';
import type { Refusal } from './types/gangday';

/** What each code means, as the index of codes has it. */
export const CODES: ReadonlyMap<string, string> = meanings(index);

/** The codes of the table and their meanings, without its marks. */
export function meanings(markdown: string): ReadonlyMap<string, string> {
  const rows = markdown.split('\n').map((line) => /^\| `([A-Z0-9-]+)` \| (.*) \|$/.exec(line));
  return new Map(rows.filter((row) => row !== null).map(([, code = '', meaning = '']) => [code, meaning.replaceAll('`', '')]));
}

/** A refusal in one line, with the code that says what it means. */
export function coded(code: string, text: string): Refusal {
  return { text, findings: [{ code, severity: 'fault', place: '', job: null, text, remedy: '' }] };
}
