import { count } from './words';

/** How many things a list holds, before any of them is judged; null where that can't be told. */
export function listed(name: string, text: string): number | null {
  if (/\.csv$/i.test(name)) return Math.max(0, rows(text) - 1);
  try {
    const read = JSON.parse(text) as { type?: unknown; features?: unknown };
    if (Array.isArray(read.features)) return read.features.length;
    return read.type === 'Feature' ? 1 : null;
  } catch {
    return null;
  }
}

/** What came of an import: `4 jobs added from list.csv`, or how many of how many. */
export function importWords(name: string, added: number, of: number | null): string {
  if (of === null || added >= of) return `${count(added, 'job')} added from ${name}`;
  return `${added} of ${of} added from ${name}; see Put right`;
}

/** Rows of a CSV (RFC 4180: a line break within quotes belongs to its field), the empty ones left out. */
function rows(text: string): number {
  const lines = text.split(/\r\n|\n|\r/);
  let open = false;
  let found = 0;
  for (const line of lines) {
    if (!open && line.trim() !== '') found += 1;
    if ((line.split('"').length - 1) % 2 === 1) open = !open;
  }
  return found;
}
