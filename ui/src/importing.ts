import { count } from './words';

/** What came of a map extract: `120 streets added from area.osm.pbf`. */
export function extractWords(name: string, added: number): string {
  return added === 0 ? `Roads read anew from ${name}; no street is new` : `${count(added, 'street')} added from ${name}`;
}

/** Bytes in Base64, in pieces small enough for one call. */
export function base64Of(bytes: Uint8Array): string {
  const pieces: string[] = [];
  for (let at = 0; at < bytes.length; at += PIECE) pieces.push(btoa(String.fromCharCode(...bytes.subarray(at, at + PIECE))));
  return pieces.join('');
}

/** Bytes at a time; a multiple of three, so that only the last piece is padded. */
const PIECE = 3 * 8192;
