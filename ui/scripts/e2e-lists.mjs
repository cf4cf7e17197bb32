// @ts-check
/** The week's form; what was done late, said and planned; lists by grid and as workbooks; names that try to be markup. */
import assert from 'node:assert/strict';
import { cp, mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { mapDrawn, ready } from './browser.mjs';
import { after, ask, edition, firstJob, lockFirst, ROOT, shot } from './driven.mjs';
import { axe, finish, suite } from './harness.mjs';
import { workbook } from './made.mjs';

/** @typedef {import('playwright-core').Page} Page */

const place = await mkdtemp(join(tmpdir(), 'gangday-files-'));
const at = (/** @type {string[]} */ ...names) => join(place, ...names);
const small = join(ROOT, 'sample-data/small-week');

let failed = await suite(async (check) => {
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
    await page.waitForFunction(() => document.activeElement?.id === 'week-name');
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
    await form.getByRole('alert').filter({ hasText: 'Write the date as 1 Mar 2027' }).waitFor();
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
      const over = await page.evaluate(() => ['.said', '.tools'].map((one) => Number(getComputedStyle(/** @type {Element} */ (document.querySelector(one))).zIndex)));
      assert.ok((over[0] ?? 9) < (over[1] ?? 0), 'what is opened lies over it where there is no room for both');
      assert.ok(larger > 0 || (toast && filter && (toast.y >= filter.y + filter.height || toast.y + toast.height <= filter.y || toast.x >= filter.x + filter.width)), JSON.stringify([toast, filter]));
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
      const before = await edition(page);
      assert.deepEqual(await axe(page), [], 'while it plans');
      // On a busy machine it may have come to its end while that was looked at.
      await panel.getByRole('button').press('Enter', { timeout: 3000 }).catch(() => undefined);
      await panel.waitFor({ state: 'detached' });
      await ready(page);
      // Where nothing better was found, there is nothing to take back.
      if ((await edition(page)) > before) await page.keyboard.press('z');
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
    await sheet.waitFor({ state: 'detached' });
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
    await sheet.waitFor({ state: 'detached' });
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

failed += await suite(async (check) => {
  for (const scheme of ['light', 'dark'])
    await check(`what is wrong with a row stands at it, with what to do and the cell that mends it, ${scheme}`, { scheme }, async (page) => {
      await mapDrawn(page);
      const { sheet: { jobs } } = await ask(page, { ask: 'sheet' });
      const [x, y] = jobs[0].at;
      const rest = ['new', 'footway', 600, 600];
      await writeFile(at('wrong.xlsx'), workbook([
        ['Ref', 'Longitude', 'Latitude', 'Work', 'Position', 'Clear length mm', 'Clear width mm', 'Remarks,\nif any', 'Sections'],
        ['R-1', x + 0.0004, y, ...rest, 'by the gate\nnot on Fridays\nring first', 3],
        ['R-2', x + 0.0008, y, ...rest, 'behind\nthe wall', 'two'],
        ['R-3', y, x, ...rest, '', 3],
        ['R-4', x + 0.0012, y, ...rest, '', 3],
        ['R-5', '', y, ...rest, '', 3],
      ]));
      await take(page, at('wrong.xlsx'));
      const sheet = page.getByRole('dialog', { name: 'Take in wrong.xlsx' });
      await sheet.getByRole('button', { name: 'At fault 3' }).waitFor();
      const row = (/** @type {number} */ n) => sheet.locator(`[data-row="${n - 1}"] .wide`);
      assert.match(await row(2).innerText(), /At fault.*sections.*two.*J-TYPE/is);
      assert.match(await row(3).innerText(), /At fault.*J-SWAP.*Put on the map/s);
      assert.doesNotMatch(await row(1).innerText(), /fault/i);
      assert.deepEqual(await axe(page), []);
      await shot(page, `wrong-${scheme}`);
      const code = row(2).getByRole('button', { name: 'J-TYPE: what it means' });
      await code.press('Enter');
      assert.equal(await code.getAttribute('aria-expanded'), 'true');
      await shot(page, `wrong-open-${scheme}`);
      await row(2).getByRole('button', { name: /^Sections *, row 2: put it right$/ }).press('Enter');
      await page.waitForFunction(() => document.activeElement?.getAttribute('aria-label') === 'Sections, row 2', null, { polling: 50 });
      const cell = await sheet.getByLabel('Sections, row 2').boundingBox();
      const beside = await row(2).boundingBox();
      assert.ok(cell && beside && cell.x >= beside.x + beside.width, 'it can be seen');
      await page.keyboard.press('Control+a');
      await page.keyboard.type('2');
      await page.keyboard.press('Enter');
      await sheet.getByRole('button', { name: 'At fault 2' }).waitFor();
      await page.keyboard.press('Escape');
    });
}, ['--demo']);

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
