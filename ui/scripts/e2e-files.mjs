// @ts-check
/** Files as they come: damaged, read-only, moved, taken, newer; what would be lost by opening another; what is kept between two starts; the week's form; lists by grid and as workbooks; names that try to be markup. */
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { chmod, cp, mkdir, mkdtemp, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { launch, mapDrawn, openPage, ready } from './browser.mjs';
import { axe, finish, suite } from './harness.mjs';
import { start } from './program.mjs';

/** @typedef {import('playwright-core').Page} Page */

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const PROGRAM = process.env.GANGDAY ?? join(ROOT, 'target/debug/gangday');
const gangday = (/** @type {string[]} */ ...words) => execFileSync(PROGRAM, words, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
/** Keeps a picture of the page, where somebody wants to look at it. */
const shot = (/** @type {Page} */ page, /** @type {string} */ name) => (process.env.SHOTS ? page.screenshot({ path: join(process.env.SHOTS, `${name}.png`) }) : null);

/** Asks a desk as the page does. */
const askAt = async (/** @type {string} */ address, /** @type {object} */ request) => {
  const url = new URL(address);
  const reply = await fetch(`${url.origin}/call`, { method: 'POST', headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${url.searchParams.get('token')}` }, body: JSON.stringify(request) });
  return reply.json();
};
const ask = (/** @type {Page} */ page, /** @type {object} */ request) =>
  page.evaluate(async (body) => {
    const reply = await fetch('/call', { method: 'POST', headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${sessionStorage.getItem('gangday-token')}` }, body: JSON.stringify(body) });
    return reply.json();
  }, request);

const edition = (/** @type {Page} */ page) => page.evaluate(() => window.__gangday?.edition ?? 0);
/** Does something and waits until the sheet that came of it is drawn. */
async function after(/** @type {Page} */ page, /** @type {() => Promise<unknown>} */ act) {
  const before = await edition(page);
  await act();
  await page.waitForFunction((was) => (window.__gangday?.edition ?? 0) > was, before, { polling: 50 });
  await ready(page);
}
const firstJob = (/** @type {Page} */ page) => page.locator('[data-piece].work[data-job]').first();
const lockFirst = (/** @type {Page} */ page) => after(page, async () => { await firstJob(page).click(); await page.keyboard.press('k'); });
/** Types a path where one is opened, and presses Enter. */
async function openPath(/** @type {Page} */ page, /** @type {string} */ path) {
  await page.keyboard.press('o');
  await page.getByRole('textbox', { name: /on this machine/ }).fill(path);
  await page.keyboard.press('Enter');
}
const titled = (/** @type {Page} */ page, /** @type {string} */ words) => page.locator('footer.title').filter({ hasText: words }).waitFor();

const place = await mkdtemp(join(tmpdir(), 'gangday-files-'));
const at = (/** @type {string[]} */ ...names) => join(place, ...names);
const small = join(ROOT, 'sample-data/small-week');
const full = join(ROOT, 'sample-data/full-week');

/**
 * A file of which jobs are lost: after an edit its rows count and not the words beside them, then a page of the table of jobs is overwritten.
 * A page is 4096 bytes; the first byte of a leaf of a table is 13 (SQLite's file format, 1.6).
 */
async function damaged(/** @type {string} */ path) {
  gangday('convert', full, path);
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

/** A workbook of one sheet, as small as one may be (ECMA-376; the parts lie uncompressed in a ZIP file, APPNOTE 6.3). @param {(string | number)[][]} rows */
function workbook(rows) {
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
async function barred(/** @type {string} */ folder, /** @type {() => Promise<void>} */ fill) {
  await mkdir(folder);
  const mounts = (/** @type {string[]} */ ...words) => { try { execFileSync('mount', [...words, folder], { stdio: 'ignore' }); return true; } catch { return false; } };
  const mounted = mounts('-t', 'tmpfs', 'tmpfs');
  await fill();
  const bars = mounted ? mounts('-o', 'remount,ro') : (await chmod(folder, 0o555), process.getuid?.() !== 0);
  const free = async () => { if (mounted) execFileSync('umount', [folder]); else await chmod(folder, 0o755); };
  return { bars, free };
}

await damaged(at('damaged.gpkg'));
gangday('convert', small, at('week.gpkg'));
gangday('convert', small, at('other.gpkg'));
gangday('convert', small, at('moving.gpkg'));
await cp(small, at('folder'), { recursive: true });

let failed = await suite(async (check) => {
  for (const scheme of ['light', 'dark'])
    await check(`a damaged file says what was lost and where its copy is, until that is put away, ${scheme}`, { scheme }, async (page) => {
      await openPath(page, at('damaged.gpkg'));
      const notice = page.getByRole('alert', { name: 'About the programme that was opened' });
      await notice.waitFor();
      await ready(page);
      await page.waitForFunction(() => document.activeElement?.getAttribute('aria-label') === 'About the programme that was opened');
      const { sheet } = await ask(page, { ask: 'sheet' });
      const words = await notice.innerText();
      assert.match(sheet.folder, /damaged \(rescued.*\)\.gpkg$/);
      for (const part of ['This file was damaged', 'damaged.gpkg is damaged', sheet.folder, 'Compare it with a backup']) assert.ok(words.includes(part), `${part} in ${words}`);
      const lost = sheet.findings.filter((/** @type {any} */ one) => one.code === 'F-LOST');
      assert.ok(lost.length > 0, JSON.stringify(sheet.findings.slice(0, 4)));
      assert.match(words, /jobs can’t be read|jobs can't be read/);
      assert.match(words, /J\d{3}/, 'a job that is lost is named');
      await shot(page, `damaged-${scheme}`);
      assert.deepEqual(await axe(page), []);
      await titled(page, 'Rescued copy');
      const first = page.getByRole('region', { name: 'Put right, contents' }).locator('li').first();
      assert.match(await first.innerText(), /damaged\.gpkg is damaged/);
      const [box, panel] = [await first.boundingBox(), await page.getByRole('region', { name: 'Put right, contents' }).boundingBox()];
      assert.ok(box && panel && box.y >= panel.y - 1 && box.y < panel.y + panel.height, 'it is seen without scrolling');
      // It stays, whatever else is done.
      await page.keyboard.press('Escape');
      await page.waitForTimeout(13_000);
      assert.ok(await notice.isVisible(), 'it is there until somebody has read it');
      await page.keyboard.press('Tab');
      for (let i = 0; i < 40 && !(await page.evaluate(() => document.activeElement?.textContent === 'I have read it')); i++) await page.keyboard.press('Tab');
      await page.keyboard.press('Enter');
      await notice.waitFor({ state: 'detached' });
      assert.match(await first.innerText(), /damaged\.gpkg is damaged/, 'the list keeps it');
    });

  await check('the notice of a damaged file is whole with the largest text', {}, async (page) => {
    for (let i = 0; i < 4; i++) await page.keyboard.press('+');
    await openPath(page, at('damaged.gpkg'));
    const notice = page.getByRole('alert', { name: 'About the programme that was opened' });
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await notice.waitFor();
    await shot(page, 'damaged-large');
    const box = await notice.boundingBox();
    assert.ok(box && box.x >= 0 && box.x + box.width <= 1280 && box.y + box.height <= 800, JSON.stringify(box));
    await notice.getByRole('button', { name: 'I have read it' }).click();
  });

  await check('a file in a folder that may only be read says so at once, and every edit says why not', { refusals: true }, async (page) => {
    const { bars, free } = await barred(at('barred'), () => cp(at('week.gpkg'), at('barred', 'week.gpkg')));
    try {
      if (!bars) return console.log('skip  no folder can be barred for whoever runs this');
      await openPath(page, at('barred', 'week.gpkg'));
      // Another may still be told of, of the programme that was open before.
      const notice = page.getByRole('alert', { name: 'About the programme that was opened' }).filter({ hasText: 'This file can only be read' });
      await notice.waitFor();
      assert.match(await notice.innerText(), /This file can only be read[\s\S]*may not be written to[\s\S]*Save to another folder/);
      await shot(page, 'readonly');
      await titled(page, 'Can only be read');
      await notice.getByRole('button', { name: 'I have read it' }).click();
      assert.match(await page.getByRole('region', { name: 'Put right, contents' }).locator('li').first().innerText(), /may not be written to/);
      await page.keyboard.press('W');
      const days = page.getByRole('dialog', { name: 'The week' }).getByLabel('How long, weekends counted');
      await days.fill('6');
      await days.press('Tab');
      await page.getByRole('alert').filter({ hasText: 'may not be written to' }).waitFor();
      await shot(page, 'readonly-edit');
      await page.keyboard.press('Escape');
      await page.keyboard.press('S');
      await page.getByRole('textbox', { name: /on this machine/ }).fill(at('kept.gpkg'));
      await page.keyboard.press('Enter');
      await page.getByText(`Saved in ${at('kept.gpkg')}`).waitFor();
      assert.ok(!(await ask(page, { ask: 'sheet' })).sheet.findings.some((/** @type {any} */ one) => one.code === 'F-READONLY'), 'where it is kept now it may be written to');
      await openPath(page, at('week.gpkg'));
      await titled(page, 'Saved');
    } finally {
      await ask(page, { ask: 'open_demo', week: 'small' });
      await free();
    }
  });

  await check('a file that is moved while it is open, one that another window has, a newer one, and one that is none: each is said on the page', { refusals: true }, async (page) => {
    const refusal = (/** @type {RegExp} */ words) => page.getByRole('alert').filter({ hasText: words });
    await openPath(page, at('moving.gpkg'));
    await page.getByText(`Opened ${at('moving.gpkg')}`).waitFor();
    await rename(at('moving.gpkg'), at('moved.gpkg'));
    await page.keyboard.press('W');
    const days = page.getByRole('dialog', { name: 'The week' }).getByLabel('How long, weekends counted');
    await days.fill('6');
    await days.press('Tab');
    await refusal(/was moved/).waitFor();
    await shot(page, 'moved');
    assert.equal(await days.inputValue(), '5', 'the field is as it was');
    await page.keyboard.press('Escape');

    const other = await start([at('other.gpkg')]);
    await openPath(page, at('other.gpkg'));
    await refusal(/open in another window|in use/i).waitFor();
    await shot(page, 'in-use');
    await page.keyboard.press('Escape');
    await other.close();
    await openPath(page, at('other.gpkg'));
    await page.getByText(`Opened ${at('other.gpkg')}`).waitFor();

    // The number of the version of our own tables stands in `gangday_meta`; a later program writes a higher one.
    await cp(at('week.gpkg'), at('newer.gpkg'));
    execFileSync('python3', ['-c', "import sqlite3, sys; db = sqlite3.connect(sys.argv[1]); db.execute('UPDATE gangday_meta SET value = 99 WHERE key = ?', ['version']); db.commit()", at('newer.gpkg')]);
    await openPath(page, at('newer.gpkg'));
    await refusal(/newer Gangday/).waitFor();
    await page.keyboard.press('Escape');

    await writeFile(at('none.gpkg'), 'no database');
    await openPath(page, at('none.gpkg'));
    await page.getByRole('dialog').getByRole('alert').waitFor();
    await page.keyboard.press('Escape');
    await titled(page, 'Saved');
  });
}, ['--demo']);

failed += await suite(async (check) => {
  const asks = (/** @type {Page} */ page) => page.getByRole('dialog', { name: 'Not saved yet' });
  for (const scheme of ['light', 'dark'])
    await check(`what is not saved is asked about before another programme is opened: stay, ${scheme}`, { scheme }, async (page) => {
      await lockFirst(page);
      const before = await ask(page, { ask: 'sheet' });
      for (const open of [
        () => openPath(page, at('week.gpkg')),
        async () => { await page.keyboard.press('o'); await page.getByRole('button', { name: 'Open the full week' }).press('Enter'); },
      ]) {
        await open();
        await asks(page).waitFor();
        assert.equal(await page.evaluate(() => document.activeElement?.textContent), 'Save first', 'the safe one has the focus');
        await shot(page, `leave-${scheme}`);
        assert.deepEqual(await axe(page), []);
        await page.keyboard.press('Escape');
        await asks(page).waitFor({ state: 'detached' });
        await open();
        await asks(page).getByRole('button', { name: 'Stay here' }).press('Enter');
        await asks(page).waitFor({ state: 'detached' });
      }
      assert.deepEqual((await ask(page, { ask: 'sheet' })).sheet, before.sheet, 'nothing was let go');
      await after(page, () => page.keyboard.press('z'));
    });

  await check('save first asks where, saves there, and then opens the other', {}, async (page) => {
    await lockFirst(page);
    const job = await firstJob(page).getAttribute('data-job');
    await openPath(page, at('week.gpkg'));
    await asks(page).getByRole('button', { name: 'Save first' }).press('Enter');
    await page.getByRole('dialog', { name: 'Save' }).getByRole('textbox').fill(at('before.gpkg'));
    await page.keyboard.press('Enter');
    await page.getByText(`Opened ${at('week.gpkg')}`).waitFor();
    assert.equal((await ask(page, { ask: 'sheet' })).sheet.folder, at('week.gpkg'));
    const own = await start([at('before.gpkg')]);
    const { sheet } = await askAt(own.address, { ask: 'sheet' });
    await own.close();
    assert.ok(sheet.plan.columns.some((/** @type {any} */ one) => one.layers.some((/** @type {any} */ layer) => layer.job === job && layer.stays === 'locked')), 'what would have been lost is there');
    // Giving up half-way stays.
    await openPath(page, at('folder'));
    await page.getByText(`Opened ${at('folder')}`).waitFor();
    await page.keyboard.press('W');
    const days = page.getByRole('dialog', { name: 'The week' }).getByLabel('How long, weekends counted');
    await days.fill('6');
    await after(page, () => days.press('Tab'));
    await page.keyboard.press('Escape');
    await openPath(page, at('week.gpkg'));
    await asks(page).getByRole('button', { name: 'Save first' }).press('Enter');
    await page.getByText(`Opened ${at('week.gpkg')}`).waitFor();
    assert.equal(JSON.parse(await readFile(at('folder', 'week.json'), 'utf8')).days, 6, 'it was saved in its own folder first');
  });

  await check('open all the same lets go of it, also from the list of those opened last', {}, async (page) => {
    for (const path of [at('week.gpkg'), at('folder')]) {
      await openPath(page, path);
      await page.getByText(`Opened ${path}`).waitFor();
    }
    await page.keyboard.press('W');
    const days = page.getByRole('dialog', { name: 'The week' }).getByLabel('How long, weekends counted');
    await days.fill('4');
    await after(page, () => days.press('Tab'));
    await page.keyboard.press('Escape');
    await page.keyboard.press('o');
    await page.getByRole('dialog').getByRole('button', { name: at('week.gpkg'), exact: true }).press('Enter');
    await asks(page).getByRole('button', { name: 'Open all the same' }).press('Enter');
    await page.getByText(`Opened ${at('week.gpkg')}`).waitFor();
    assert.notEqual(JSON.parse(await readFile(at('folder', 'week.json'), 'utf8')).days, 4);
    await page.keyboard.press('o');
    await page.getByRole('button', { name: 'Open the small week' }).press('Enter');
    await page.getByText('The demo week is open.').waitFor();
  });
}, ['--demo']);

// Two starts of the program, each with another address.
{
  const config = await mkdtemp(join(tmpdir(), 'gangday-config-'));
  const browser = await launch();
  /** Starts the program, does something on its page, ends it. */
  const run = async (/** @type {string} */ what, /** @type {(page: Page) => Promise<void>} */ body) => {
    if (process.env.ONLY && !new RegExp(process.env.ONLY).test(what)) return;
    const own = await start([], config);
    const opened = await openPage(browser, { address: own.address });
    try {
      await body(opened.page);
      assert.deepEqual(opened.strangers, []);
      console.log(`ok    ${what}`);
    } catch (error) {
      failed += 1;
      console.log(`FAIL  ${what}\n${error instanceof Error ? error.stack : error}`);
    } finally {
      await opened.context.close();
      await own.close();
    }
  };
  const size = (/** @type {Page} */ page) => page.evaluate(() => Number.parseFloat(getComputedStyle(document.documentElement).fontSize));
  let plain = 0;
  await cp(at('week.gpkg'), at('gone.gpkg'));
  await run('two starts: the first changes theme, text and folds, and opens programmes', async (page) => {
    plain = await size(page);
    await page.keyboard.press('t');
    await page.keyboard.press('+');
    for (const path of [at('gone.gpkg'), at('week.gpkg')]) {
      await openPath(page, path);
      await page.getByText(`Opened ${path}`).waitFor();
    }
    await page.keyboard.press('b');
    for (let tries = 0; tries < 200; tries++) {
      const { values } = await ask(page, { ask: 'settings' });
      if (values.desk?.folded?.includes('board') && values.recent?.length === 2) break;
      await page.waitForTimeout(50);
    }
    const kept = JSON.parse(await readFile(join(config, 'gangday', 'settings.json'), 'utf8'));
    assert.deepEqual([kept.desk.theme, kept.desk.text, kept.recent], ['dark', 1, [at('week.gpkg'), at('gone.gpkg')]]);
    assert.equal(await page.evaluate(() => localStorage.length), 0, 'nothing is left to the address');
  });
  await rm(at('gone.gpkg'));
  await run('two starts: the second has it all, opens one that was opened, and says which is gone', async (page) => {
    assert.equal(await page.evaluate(() => document.documentElement.dataset['theme']), 'dark');
    assert.ok(Math.abs((await size(page)) / plain - 1.15) < 0.01, 'the text is as large');
    const list = page.getByRole('listitem').filter({ hasText: 'gone.gpkg' });
    await list.getByText('not there any more').waitFor();
    await shot(page, 'recent');
    assert.equal(await page.getByText('not there any more').count(), 1);
    assert.deepEqual(await axe(page), []);
    await list.getByRole('button', { name: at('gone.gpkg'), exact: true }).click();
    await page.getByRole('alert').filter({ hasText: 'gone.gpkg' }).waitFor();
    await shot(page, 'recent-gone');
    await page.keyboard.press('Escape');
    await list.getByRole('button', { name: /off the list/ }).press('Enter');
    await list.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: at('week.gpkg'), exact: true }).press('Enter');
    await page.getByText(`Opened ${at('week.gpkg')}`).waitFor();
    assert.equal(await page.getByRole('button', { name: /^Board/ }).count() > 0 || (await page.locator('.grip').count()) === 0, true, 'the board is folded');
    assert.equal(await page.locator('.grip').count(), 0);
  });
  await mkdir(join(config, 'gangday'), { recursive: true });
  await writeFile(join(config, 'gangday', 'settings.json'), '{"desk": {"te');
  await run('two starts: a damaged file of settings is as if there were none', async (page) => {
    assert.ok(Math.abs((await size(page)) / plain - 1) < 0.01);
    await page.keyboard.press('+');
    await page.waitForTimeout(500);
    assert.equal(JSON.parse(await readFile(join(config, 'gangday', 'settings.json'), 'utf8')).desk.text, 1);
  });
  await browser.close();
  await rm(config, { recursive: true });
}

failed += await suite(async (check) => {
  const sheetOf = (/** @type {Page} */ page) => page.getByRole('dialog', { name: 'The week' });
  const week = async (/** @type {Page} */ page) => (await ask(page, { ask: 'row', file: 'week.json', row: null })).members;
  for (const scheme of ['light', 'dark'])
    await check(`the week is a form in plain words, ${scheme}`, { scheme }, async (page) => {
      await page.keyboard.press('W');
      const form = sheetOf(page);
      await form.getByLabel('First day').waitFor();
      assert.equal(await form.getByLabel('First day').inputValue(), 'Mon 1 Mar 2027');
      await page.waitForFunction(() => document.activeElement?.id === 'week-name');
      const words = await form.innerText();
      for (const raw of ['first_day', 'temperature_c', 'week.json', '{', '"2027']) assert.ok(!words.includes(raw), `${raw} in ${words}`);
      assert.equal(await form.getByLabel('Wed 3 Mar 2027: degrees Celsius').inputValue(), '7');
      assert.equal(await form.getByLabel('Thu 4 Mar 2027: degrees Celsius at 06:00').inputValue(), '3');
      assert.equal(await form.getByLabel('invented').inputValue(), 'true', 'what the form has no place for is kept below');
      assert.deepEqual(await axe(page), []);
      await shot(page, `week-${scheme}`);
      await form.evaluate((one) => one.scrollTo(0, 600));
      await shot(page, `week-below-${scheme}`);
    });

  await check('each thing in the form of the week is changed by keyboard, named, and taken back', { refusals: true }, async (page) => {
    const before = await week(page);
    await page.keyboard.press('W');
    const form = sheetOf(page);
    const steps = /** @type {[string, string, any][]} */ ([
      ['First day', '8/3/2027', { first_day: '2027-03-08' }],
      ['How long, weekends counted', '7', { days: 7 }],
      ['Air temperature, where a day has none of its own', '8,5', { temperature_c: 8.5 }],
      ['Most nights that works may be left open', '1', { nights: 1 }],
      ['Day on which notices would go out', '26 Feb 2027', { today: '2027-02-26' }],
      ['Mon 8 Mar 2027: degrees Celsius', '-1', { temperatures: { '2027-03-03': 7, '2027-03-04': before.temperatures['2027-03-04'], '2027-03-08': -1 } }],
      ['Another holiday', 'Fri 12 Mar 2027', { holidays: ['2027-03-12'] }],
    ]);
    for (const [label, typed, stated] of steps) {
      await form.getByLabel(label, { exact: true }).focus();
      await page.keyboard.press('Control+a');
      await page.keyboard.type(typed);
      await after(page, () => page.keyboard.press('Enter'));
      const now = await week(page);
      for (const [name, value] of Object.entries(stated)) assert.deepEqual(now[name], value, label);
    }
    await form.getByText('Fri 12 Mar 2027').first().waitFor();
    assert.equal(await form.getByRole('checkbox', { name: 'gangs work on Fri 12 Mar 2027' }).isChecked(), false);
    await form.getByText('weekend').first().waitFor();
    await after(page, () => form.getByRole('checkbox', { name: 'gangs work on Tue 9 Mar 2027' }).press('Space'));
    assert.deepEqual((await week(page)).holidays, ['2027-03-09', '2027-03-12']);
    await after(page, () => form.getByRole('button', { name: 'By the hour on Mon 8 Mar 2027' }).press('Enter'));
    assert.deepEqual((await week(page)).temperatures['2027-03-08'], { '06:00': -1, '13:00': -1 });
    const noon = form.getByLabel('Mon 8 Mar 2027: degrees Celsius at 13:00');
    await noon.fill('6 °C');
    await after(page, () => noon.press('Tab'));
    await after(page, () => form.getByRole('button', { name: 'Add a time on Mon 8 Mar 2027' }).press('Enter'));
    assert.deepEqual((await week(page)).temperatures['2027-03-08'], { '06:00': -1, '13:00': 6, '15:00': 6 });
    await after(page, () => form.getByRole('button', { name: 'One figure on Mon 8 Mar 2027' }).press('Enter'));
    assert.equal((await week(page)).temperatures['2027-03-08'], -1, 'the coldest of its times');
    assert.deepEqual((await week(page)).rates, undefined);
    assert.equal((await week(page)).invented, true);
    const { past } = await ask(page, { ask: 'history' });
    assert.deepEqual(past.slice(-12, -5), ['change the first day of the week', 'change the number of days of the week', 'change the usual temperature of the week', 'change the nights of the week', 'change the day of notices of the week', 'change the temperatures of the week', 'change the holidays of the week']);
    // What can't be is said where it was typed, and nothing changes.
    const first = form.getByLabel('First day', { exact: true });
    await first.fill('30 Feb 2027');
    await first.press('Tab');
    await form.getByRole('alert').filter({ hasText: 'Write it as 1 Mar 2027' }).waitFor();
    const days = form.getByLabel('How long, weekends counted', { exact: true });
    await days.fill('400');
    await days.press('Tab');
    await form.getByRole('alert').filter({ hasText: 'Nothing was changed' }).waitFor();
    assert.equal(await days.inputValue(), '7');
    await page.keyboard.press('Escape');
    for (let i = 0; i < 12; i++) await after(page, () => page.keyboard.press('z'));
    assert.deepEqual(await week(page), before, 'all of it is taken back');
  });

  await check('the form of the week with the largest text', {}, async (page) => {
    for (let i = 0; i < 4; i++) await page.keyboard.press('+');
    await page.keyboard.press('W');
    await sheetOf(page).getByLabel('First day').waitFor();
    await shot(page, 'week-large');
    const wide = await sheetOf(page).evaluate((one) => one.scrollWidth - one.clientWidth);
    assert.ok(wide <= 1, `${wide} px leave it`);
  });
}, ['--demo']);

failed += await suite(async (check) => {
  await check('what was done late is said with a gap between the time and by how much', {}, async (page) => {
    await firstJob(page).click();
    await page.getByRole('button', { name: /record as done$/ }).first().click();
    const field = page.getByLabel(/^When it was done/);
    const [hour = 0, minute = 0] = (await field.inputValue()).split(':').map(Number);
    await field.fill(`${String(hour + 1).padStart(2, '0')}:${String(minute).padStart(2, '0')}`);
    await after(page, () => page.keyboard.press('Enter'));
    const done = page.getByRole('button', { name: /done, change when$/ }).first();
    assert.match(await done.innerText(), /^✓ \d\d:\d\d 1 h late/);
    await shot(page, 'late');
    await after(page, () => page.keyboard.press('Control+z'));
  });

  await check('what was done is said beside the open filter and not over it; the planning panel keeps its lines', {}, async (page) => {
    for (const larger of [0, 4]) {
      for (let i = 0; i < larger; i++) await page.keyboard.press('+');
      await lockFirst(page);
      await page.keyboard.press('q');
      const said = page.locator('.said');
      await said.waitFor();
      const [toast, filter] = [await said.boundingBox(), await page.getByRole('group', { name: 'Which jobs the map shows' }).boundingBox()];
      await shot(page, `toast-${larger}`);
      assert.ok(toast && filter && (toast.y >= filter.y + filter.height || toast.y + toast.height <= filter.y || toast.x >= filter.x + filter.width), JSON.stringify([toast, filter]));
      await page.keyboard.press('q');
      await page.locator('body').click({ position: { x: 640, y: 200 } }).catch(() => undefined);
      await page.keyboard.press('Escape');
      await page.keyboard.press('p');
      const panel = page.getByRole('region', { name: 'Planning' });
      await panel.waitFor();
      const tall = await panel.locator('header').evaluate((one) => [...one.children].map((part) => { const range = document.createRange(); range.selectNodeContents(part); return new Set([...range.getClientRects()].map((line) => Math.round(line.bottom / 12))).size; }));
      await shot(page, `planning-${larger}`);
      assert.ok(tall[0] === 1, `the heading takes ${tall[0]} lines`);
      const [heading, button] = [await panel.locator('h2').boundingBox(), await panel.getByRole('button').boundingBox()];
      const line = await panel.locator('h2').evaluate((one) => Number.parseFloat(getComputedStyle(one).lineHeight));
      assert.ok(heading && button && heading.height < line * 1.5 && button.height < line * 1.5, JSON.stringify([heading, button, line]));
      await after(page, () => panel.getByRole('button').press('Enter'));
      await page.keyboard.press('z');
      await ready(page);
    }
  });
}, ['--demo']);

// An empty programme, for lists.
await mkdir(at('empty'));
/** Takes in a file as one is chosen in the browser. */
const take = (/** @type {Page} */ page, /** @type {string} */ path) => page.locator('#import-list').setInputFiles(path);
/** Ordnance Survey, OSTN15 and OSGM15 developer pack, test point TP21 and one that is 20 m east of it. */
const [, lat = 0, lon = 0, east = 0, north = 0] = (await readFile(join(ROOT, 'crates/ground/tests/data/ostn15_points.csv'), 'utf8')).split('\n').find((line) => line.startsWith('TP21,'))?.split(',').map(Number) ?? [];

failed += await suite(async (check) => {
  await check('a list by eastings and northings is taken in at its published place, and its columns count as used', {}, async (page) => {
    await writeFile(at('grid.csv'), `Ref,Easting,Northing,Work,Position,Clear length mm,Clear width mm,Sections\nGR-1,${east},${north},new,footway,600,600,4\nGR-2,${east + 20},${north},new,footway,600,600,4\n`);
    await take(page, at('grid.csv'));
    const sheet = page.getByRole('dialog', { name: 'Take in grid.csv' });
    await sheet.getByRole('button', { name: 'Take in 2 jobs', exact: true }).waitFor();
    assert.doesNotMatch(await sheet.innerText(), /not used: .*Easting/);
    await shot(page, 'grid');
    await after(page, () => sheet.getByRole('button', { name: 'Take in 2 jobs', exact: true }).press('Enter'));
    const { sheet: now } = await ask(page, { ask: 'sheet' });
    const job = now.jobs.find((/** @type {any} */ one) => one.id === 'GR-1');
    // A degree of latitude is about 111 km: 1e-7 of one is a centimetre.
    assert.ok(Math.abs(job.at[0] - lon) < 2e-7 && Math.abs(job.at[1] - lat) < 1e-7, `${job.at} and not ${lon}, ${lat}`);
    await after(page, () => page.keyboard.press('z'));
  });

  await check('a workbook is taken in, a row at fault says why in plain words, and it is put right', {}, async (page) => {
    await writeFile(at('list.xlsx'), workbook([
      ['Ref', 'Longitude', 'Latitude', 'Work', 'Position', 'Clear length mm', 'Clear width mm', 'Sections'],
      ['XL-1', lon, lat, 'new', 'footway', 600, 600, 4],
      ['XL-2', lon + 0.0003, lat, 'replace', 'verge', 600, 450, 3],
    ]));
    await take(page, at('list.xlsx'));
    const sheet = page.getByRole('dialog', { name: 'Take in list.xlsx' });
    await sheet.getByRole('button', { name: /^Take in 2 jobs$/ }).waitFor();
    await shot(page, 'xlsx');
    assert.deepEqual(await axe(page), []);
    await after(page, () => sheet.getByRole('button', { name: /^Take in 2 jobs$/ }).press('Enter'));
    const { jobs } = await ask(page, { ask: 'stated', jobs: ['XL-2'] });
    assert.deepEqual([jobs[0].properties.work, jobs[0].properties.position, jobs[0].properties.clear_width_mm, jobs[0].properties.sections], ['replace', 'verge', 450, 3]);
    await after(page, () => page.keyboard.press('z'));
    await writeFile(at('hole.csv'), `Ref,Longitude,Latitude,Work,Sections\nH-1,,${lat},replace,3\nH-2,${lon},${lat},replace,3\n`);
    await take(page, at('hole.csv'));
    const holes = page.getByRole('dialog', { name: 'Take in hole.csv' });
    await holes.getByText(/“Longitude” is empty/).first().waitFor();
    assert.doesNotMatch(await holes.innerText(), /`/);
    await shot(page, 'hole');
    await page.keyboard.press('Escape');
  });

  await check('many points are counted in threes', {}, async (page) => {
    const rows = Array.from({ length: 10_000 }, (_, i) => `M${i},${(lon + (i % 100) * 0.0001).toFixed(6)},${(lat + Math.floor(i / 100) * 0.0001).toFixed(6)}`);
    await writeFile(at('many.csv'), `Ref,Longitude,Latitude\n${rows.join('\n')}\n`);
    await take(page, at('many.csv'));
    const sheet = page.getByRole('dialog', { name: 'Take in many.csv' });
    await sheet.getByText(/10,000 points/).first().waitFor();
    assert.doesNotMatch(await sheet.innerText(), /10000 points/);
    await page.keyboard.press('Escape');
  });

  await check('an empty sheet says which key plans the week, and Open and Save speak of files too', {}, async (page) => {
    assert.match(await page.locator('.unplanned').innerText(), /p plans it/);
    await page.keyboard.press('o');
    await page.getByLabel('Path of the folder or the .gpkg file on this machine').waitFor();
    await page.keyboard.press('Escape');
    await page.keyboard.press('S');
    await page.getByLabel('Path of a new folder or .gpkg file on this machine').waitFor();
    await page.keyboard.press('Escape');
    await page.keyboard.press('?');
    const keys = await page.getByRole('dialog').innerText();
    assert.match(keys, /Open a programme \(a folder or a \.gpkg file\)/);
    assert.match(keys, /Save the programme in another folder or \.gpkg file/);
  });
}, [at('empty')]);

// Names that try to be markup, on the page itself.
const HOSTILE = '<img src=x onerror="window.__ran=1"><svg onload="window.__ran=1"></svg>';
await cp(small, at('hostile'), { recursive: true });
for (const [file, list, side] of /** @type {const} */ ([['streets.geojson', 'features', 'name'], ['jobs.geojson', 'features', 'title'], ['gangs.json', 'gangs', 'name']])) {
  const whole = JSON.parse(await readFile(at('hostile', file), 'utf8'));
  for (const one of whole[list]) (one.properties ?? one)[side] = `${(one.properties ?? one)[side] ?? ''} ${HOSTILE}`;
  if (file === 'jobs.geojson') whole.features.forEach((/** @type {any} */ one) => Object.assign(one.properties, { client: HOSTILE, contact: HOSTILE }));
  await writeFile(at('hostile', file), JSON.stringify(whole));
}
{
  const whole = JSON.parse(await readFile(at('hostile', 'week.json'), 'utf8'));
  await writeFile(at('hostile', 'week.json'), JSON.stringify({ ...whole, name: HOSTILE, note: HOSTILE }));
}

failed += await suite(async (check) => {
  await check('names that try to be markup are words wherever they stand', { refusals: true }, async (page) => {
    const inert = async (/** @type {string} */ where) => {
      await page.waitForTimeout(150);
      assert.equal(await page.evaluate(() => /** @type {any} */ (window).__ran), undefined, where);
      assert.equal(await page.locator('img[src="x"]').count(), 0, where);
    };
    await mapDrawn(page);
    await after(page, () => page.keyboard.press('p'));
    await page.waitForFunction(() => document.querySelectorAll('[data-piece].work').length > 0);
    assert.ok((await page.locator('h1').innerText()).includes('<img src=x'), 'the name is shown as it is');
    await inert('the sheet');
    await firstJob(page).click();
    await page.getByRole('button', { name: 'Change what it states' }).click();
    await inert('a job and its form');
    await page.keyboard.press('Escape');
    const jobs = (await ask(page, { ask: 'sheet' })).sheet.jobs;
    await page.keyboard.press('/');
    await page.locator('#find').fill(jobs[0].id);
    await inert('what is found');
    await page.locator('#find').fill('onerror');
    await inert('what is found by the name');
    await page.keyboard.press('Escape');
    await page.keyboard.press('Escape');
    for (const key of ['W', 'D', 'F', 'H', 'v', 'G']) {
      await page.keyboard.press(key);
      await page.getByRole('dialog').waitFor();
      await inert(`behind the key ${key}`);
      await page.keyboard.press('Escape');
      await page.getByRole('dialog').waitFor({ state: 'detached' });
    }
    for (const key of ['q', 'd', 'm', 'f']) {
      await page.keyboard.press(key);
      await inert(`behind the key ${key}`);
    }
    const map = /** @type {any} */ (await page.evaluate(() => document.querySelector('canvas')?.getBoundingClientRect().toJSON()));
    for (let x = 0.2; x < 0.8; x += 0.1) await page.mouse.move(map.x + map.width * x, map.y + map.height * 0.3);
    await inert('under the pointer on the map');
    await writeFile(at('hostile.csv'), `Ref,Longitude,Latitude,${HOSTILE.replaceAll('"', '')},Work\n${HOSTILE.replaceAll('"', '')},${jobs[0].at.join(',')},x,replace\n`);
    await take(page, at('hostile.csv'));
    await page.getByRole('dialog', { name: 'Take in hostile.csv' }).waitFor();
    await inert('a list');
  });
}, [at('hostile')]);

await rm(place, { recursive: true });
finish(failed);
