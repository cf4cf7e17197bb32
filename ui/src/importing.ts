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

/** What came of a map extract: `120 streets added from area.osm.pbf`. */
export function extractWords(name: string, added: number): string {
  return added === 0 ? `Roads read anew from ${name}; no street is new` : `${count(added, 'street')} added from ${name}`;
}

/** Why a map extract is not sent to the host, and what to do; `chooses` is whether the host can choose it by itself. */
export function tooLarge(name: string, bytes: number, most: number, chooses: boolean): string {
  const megabytes = (of: number): string => `${Math.ceil(of / 1024 / 1024)} MB`;
  const instead = chooses ? 'choose it by Import map, which reads it where it lies' : 'import it by `gangday import`, or in the desktop window by Import map';
  return `${name} has ${megabytes(bytes)}; a map extract of more than ${megabytes(most)} can't be sent with the page. Nothing was changed: ${instead}, or cut a smaller area.`;
}

/** Bytes in Base64, in pieces small enough for one call. */
export function base64Of(bytes: Uint8Array): string {
  const pieces: string[] = [];
  for (let at = 0; at < bytes.length; at += PIECE) pieces.push(btoa(String.fromCharCode(...bytes.subarray(at, at + PIECE))));
  return pieces.join('');
}

/** Bytes at a time; a multiple of three, so that only the last piece is padded. */
const PIECE = 3 * 8192;

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
