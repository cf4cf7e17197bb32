import { count } from './words';

/** What came of a map extract: `120 streets added from area.osm.pbf`. */
export function extractWords(name: string, added: number): string {
  return added === 0 ? `Roads read anew from ${name}; no street is new` : `${count(added, 'street')} added from ${name}`;
}

const megabytes = (of: number): string => `${Math.ceil(of / 1024 / 1024)} MB`;

/** Why a list is not sent to the host, and what to do. */
export function listTooLarge(name: string, bytes: number, most: number): string {
  return `${name} has ${megabytes(bytes)}; a list of more than ${megabytes(most)} can't be sent with the page. Nothing was changed: take it in by \`gangday import\` or in the desktop window, or leave out of it what is no job.`;
}

/** Why a map extract is not sent to the host, and what to do; `chooses` is whether the host can choose it by itself. */
export function tooLarge(name: string, bytes: number, most: number, chooses: boolean): string {
  const instead = chooses ? 'choose it by Import map, which reads it where it lies' : 'import it by `gangday import`, or in the desktop window by Import map';
  return `${name} has ${megabytes(bytes)}; a map extract of more than ${megabytes(most)} can't be sent with the page. Nothing was changed: ${instead}, or cut a smaller area.`;
}

/** The name of the file at a path of any system. */
export function nameIn(path: string): string {
  return path.split(/[/\\]/).at(-1) ?? path;
}

/** Bytes in Base64, in pieces small enough for one call. */
export function base64Of(bytes: Uint8Array): string {
  const pieces: string[] = [];
  for (let at = 0; at < bytes.length; at += PIECE) pieces.push(btoa(String.fromCharCode(...bytes.subarray(at, at + PIECE))));
  return pieces.join('');
}

/** Bytes at a time; a multiple of three, so that only the last piece is padded. */
const PIECE = 3 * 8192;
