// @ts-check
/**
 * A tiny map in one file, made up: one vector tile of the whole world with a lake and a road round one place.
 *
 * Source: PMTiles specification version 3 (header of 127 bytes, one root directory, metadata, tiles; nothing compressed) and Mapbox Vector Tile
 * specification 2.1.
 */

/** A number as a varint. */
function varint(/** @type {number} */ value) {
  const bytes = [];
  let left = value;
  while (left > 127) {
    bytes.push((left % 128) + 128);
    left = Math.floor(left / 128);
  }
  return [...bytes, left];
}

const field = (/** @type {number} */ tag, /** @type {number[]} */ bytes) => [...varint(tag * 8 + 2), ...varint(bytes.length), ...bytes];
const text = (/** @type {string} */ words) => [...Buffer.from(words)];
const zigzag = (/** @type {number} */ n) => varint(n < 0 ? -2 * n - 1 : 2 * n);

/** A layer with one feature: type 2 is a line, 3 an area. */
function layer(/** @type {string} */ name, /** @type {number} */ type, /** @type {[number, number][]} */ points) {
  let [x, y] = [0, 0];
  const moves = points.flatMap(([px, py], i) => {
    const command = i === 0 ? varint(1 | (1 << 3)) : i === 1 ? varint(2 | ((points.length - 1) << 3)) : [];
    const step = [...zigzag(px - x), ...zigzag(py - y)];
    [x, y] = [px, py];
    return [...command, ...step];
  });
  const closed = type === 3 ? [...moves, ...varint(7 | (1 << 3))] : moves;
  const feature = [...varint(3 * 8), type, ...field(4, closed)];
  return field(3, [...field(1, text(name)), ...field(2, feature), ...varint(5 * 8), ...varint(4096), ...varint(15 * 8), 2]);
}

/** The archive: zoom 0 only, so that every closer zoom is drawn from it. @param {[number, number]} at degrees @param {string} [attribution] whom it is from */
export function archive(at, attribution) {
  const x = ((at[0] + 180) / 360) * 4096;
  const rad = (at[1] * Math.PI) / 180;
  const y = ((1 - Math.asinh(Math.tan(rad)) / Math.PI) / 2) * 4096;
  const near = (/** @type {number} */ dx, /** @type {number} */ dy) => /** @type {[number, number]} */ ([Math.round(x + dx), Math.round(y + dy)]);
  const tile = Uint8Array.from([
    ...layer('water', 3, [near(-600, -600), near(600, -600), near(600, 600), near(-600, 600)]),
    ...layer('roads', 2, [near(-900, -1), near(900, 2)]),
  ]);
  const metadata = Uint8Array.from(text(JSON.stringify({ name: 'made up', attribution, vector_layers: [{ id: 'water', fields: {} }, { id: 'roads', fields: {} }] })));
  // One entry: tile 0, a run of 1, its length, and its offset plus one.
  const directory = Uint8Array.from([1, 0, 1, ...varint(tile.length), 1]);
  const header = Buffer.alloc(127);
  header.write('PMTiles', 0, 'latin1');
  header[7] = 3;
  const places = [127, directory.length, 127 + directory.length, metadata.length, 0, 0, 127 + directory.length + metadata.length, tile.length, 1, 1, 1];
  places.forEach((value, i) => header.writeBigUInt64LE(BigInt(value), 8 + i * 8));
  // Clustered; neither directory nor tiles compressed; vector tiles; zoom 0 to 0.
  header.set([1, 1, 1, 1, 0, 0], 96);
  const corner = (/** @type {number} */ lon, /** @type {number} */ lat, /** @type {number} */ where) => {
    header.writeInt32LE(lon * 1e7, where);
    header.writeInt32LE(lat * 1e7, where + 4);
  };
  corner(-180, -85, 102);
  corner(180, 85, 110);
  corner(0, 0, 119);
  return Buffer.concat([header, directory, metadata, tile]);
}
