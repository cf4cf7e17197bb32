// @ts-check
/** Files and folders as a test needs them: a damaged programme, a workbook, a place that may only be read. */
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { chmod, cp, mkdir, open, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { askAt, gangday, ROOT } from './driven.mjs';
import { start } from './program.mjs';

/**
 * A file of which jobs are lost: after an edit its rows count and not the words beside them, then a page of the table of jobs is overwritten.
 * A page is 4096 bytes; the first byte of a leaf of a table is 13 (SQLite's file format, 1.6).
 */
export async function damaged(/** @type {string} */ path) {
  gangday('convert', join(ROOT, 'sample-data/full-week'), path);
  const own = await start([path]);
  const { sheet } = await askAt(own.address, { ask: 'sheet' });
  await askAt(own.address, { ask: 'edit', edit: { do: 'set', jobs: [sheet.jobs[0].id], properties: { permit: 'STW-1' } } });
  await own.close();
  const bytes = await readFile(path);
  const ids = (/** @type {number} */ page) => new Set(bytes.subarray(page * 4096, (page + 1) * 4096).toString('latin1').match(/J\d{3}/g) ?? []);
  const pages = [...Array(bytes.length / 4096).keys()].filter((page) => page > 0 && bytes[page * 4096] === 13);
  const gp = pages.filter((page) => bytes.subarray(page * 4096, (page + 1) * 4096).includes('GP\0\x01') && ids(page).size > 3 && ids(page).size < 40);
  assert.ok(gp.length > 0, 'a page of the table of jobs');
  const page = gp[Math.floor(gp.length / 2)] ?? 0;
  bytes.fill(0xaa, page * 4096, (page + 1) * 4096);
  await writeFile(path, bytes);
}

/** A folder in which something of every sort is at fault, and what can still be read of it opens. */
export async function faulty(/** @type {string} */ folder) {
  await cp(join(ROOT, 'sample-data/small-week'), folder, { recursive: true });
  const change = async (/** @type {string} */ name, /** @type {(file: any) => void} */ act) => {
    const path = join(folder, name);
    const file = JSON.parse(await readFile(path, 'utf8'));
    act(file);
    await writeFile(path, JSON.stringify(file));
  };
  await change('jobs.geojson', ({ features }) => {
    const of = (/** @type {number} */ nth) => features[nth].properties;
    features[1].geometry = null;
    of(1).note = '<img src=x onerror=alert(1)>';
    delete features[2].id;
    features[3].id = features[0].id;
    of(4).work = 'mend';
    of(5).sections = 'three';
    of(6).latest = '31 June';
    of(7).clear_length_mm = -4;
    of(8).site_hours = ['25:00'];
    delete of(9).position;
    of(10).street = 'nowhere';
    of(10).sektions = 2;
    features[11].geometry.coordinates = features[11].geometry.coordinates.toReversed();
    features.push({ ...features[0], id: 7 }, 'no feature', { ...features[0], id: 'FAR', geometry: { type: 'Point', coordinates: [12, 1] } });
  });
  await change('streets.geojson', ({ features }) => { features[0].geometry = { type: 'Point', coordinates: [0, 0] }; delete features[1].id; });
  await change('gangs.json', (file) => { file.gangs[0].people = 'two'; file.tips.push({ name: 'No id and no place' }); });
  await change('week.json', (file) => { file.temperature_c = 'cold'; file.first_day = 'Monday'; });
  await change('method.json', (file) => (file.parameters ?? file).push({ key: 'chamber.base', value: 'thick', unit: 'mm', source: '', date: '' }, { value: 1 }));
  for (const name of ['materials.json', 'plan.json', 'diary.json', 'issues.json', 'network.json']) await writeFile(join(folder, name), '{');
}

/** A workbook of one sheet, as small as one may be (ECMA-376; the parts lie uncompressed in a ZIP file, APPNOTE 6.3). @param {(string | number)[][]} rows */
export function workbook(rows) {
  const cell = (/** @type {string | number} */ value) => (typeof value === 'number' ? `<c><v>${value}</v></c>` : `<c t="inlineStr"><is><t>${value}</t></is></c>`);
  const main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main';
  const kin = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
  const related = (/** @type {string} */ sort, /** @type {string} */ target) => `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="${kin}/${sort}" Target="${target}"/></Relationships>`;
  const kind = 'application/vnd.openxmlformats-officedocument.spreadsheetml';
  const parts = Object.entries({
    '[Content_Types].xml': `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="${kind}.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="${kind}.worksheet+xml"/></Types>`,
    '_rels/.rels': related('officeDocument', 'xl/workbook.xml'),
    'xl/workbook.xml': `<workbook xmlns="${main}" xmlns:r="${kin}"><sheets><sheet name="Works" sheetId="1" r:id="r1"/></sheets></workbook>`,
    'xl/_rels/workbook.xml.rels': related('worksheet', 'worksheets/sheet1.xml'),
    'xl/worksheets/sheet1.xml': `<worksheet xmlns="${main}"><sheetData>${rows.map((row) => `<row>${row.map(cell).join('')}</row>`).join('')}</sheetData></worksheet>`,
  });
  const [local, central] = /** @type {[Buffer[], Buffer[]]} */ ([[], []]);
  for (const [path, text] of parts) {
    const [name, bytes] = [Buffer.from(path), Buffer.from(text)];
    const about = Buffer.alloc(26);
    about.writeUInt16LE(20, 0);
    about.writeUInt32LE(crc32(bytes), 10);
    about.writeUInt32LE(bytes.length, 14);
    about.writeUInt32LE(bytes.length, 18);
    about.writeUInt16LE(name.length, 22);
    const entry = Buffer.alloc(46);
    entry.write('PK\x01\x02', 0, 'latin1');
    entry.writeUInt16LE(20, 4);
    about.copy(entry, 6, 0, 26);
    entry.writeUInt32LE(Buffer.concat(local).length, 42);
    local.push(Buffer.from('PK\x03\x04', 'latin1'), about, name, bytes);
    central.push(entry, name);
  }
  const end = Buffer.alloc(22);
  end.write('PK\x05\x06', 0, 'latin1');
  end.writeUInt16LE(parts.length, 8);
  end.writeUInt16LE(parts.length, 10);
  end.writeUInt32LE(Buffer.concat(central).length, 12);
  end.writeUInt32LE(Buffer.concat(local).length, 16);
  return Buffer.concat([...local, ...central, end]);
}

/** The check sum of a part (CRC-32, ITU-T V.42). */
function crc32(/** @type {Buffer} */ bytes) {
  let sum = 0xffffffff;
  for (const byte of bytes) {
    sum ^= byte;
    for (let bit = 0; bit < 8; bit++) sum = sum & 1 ? (sum >>> 1) ^ 0xedb88320 : sum >>> 1;
  }
  return (sum ^ 0xffffffff) >>> 0;
}

/** Has nothing written in a folder: a file system of its own, which also binds root; else by its permissions. */
export async function barred(/** @type {string} */ folder, /** @type {() => Promise<void>} */ fill) {
  await mkdir(folder);
  const mounts = (/** @type {string[]} */ ...words) => { try { execFileSync('mount', [...words, folder], { stdio: 'ignore' }); return true; } catch { return false; } };
  const mounted = mounts('-t', 'tmpfs', 'tmpfs');
  await fill();
  const bars = mounted ? mounts('-o', 'remount,ro') : (await chmod(folder, 0o555), process.getuid?.() !== 0);
  const free = async () => { if (mounted) execFileSync('umount', [folder]); else await chmod(folder, 0o755); };
  return { bars, free };
}

/** A folder on a disk of its own that can be filled up: a file system in memory, where one may be mounted. */
export async function fillable(/** @type {string} */ folder) {
  await mkdir(folder);
  let mounted = true;
  try { execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=8m', 'tmpfs', folder], { stdio: 'ignore' }); } catch { mounted = false; }
  const fill = async () => {
    const ballast = await open(join(folder, 'ballast'), 'w');
    try {
      for (const size of [65_536, 4096, 1]) for (;;) try { if ((await ballast.write(Buffer.alloc(size, 1))).bytesWritten < size) break; } catch { break; }
    } finally {
      await ballast.close();
    }
  };
  const free = async () => { if (mounted) execFileSync('umount', [folder]); };
  return { mounted, fill, free };
}
