// @ts-check
/** The desk by mouse and by keyboard: lists looked at and taken in, jobs added, changed, copied, deleted, and the way back to any step. */
import assert from 'node:assert/strict';
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { mapDrawn, ready, selected } from './browser.mjs';
import { after, ask, drop, edition, ROOT } from './driven.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */

const stated = async (/** @type {Page} */ page, /** @type {string} */ job) => (await ask(page, { ask: 'stated', jobs: [job] })).jobs[0];

/** A client's list: one job that is there with other sections, one new in their words, one a step from another, one at fault. */
async function clientList(/** @type {Page} */ page) {
  const { sheet } = await ask(page, { ask: 'sheet' });
  const [there, other] = sheet.jobs.filter((/** @type {any} */ job) => job.work === 'new' && job.route !== null);
  const own = (await stated(page, there.id)).properties;
  const rows = [
    ['Ref', 'Long', 'Lat', 'Kind', 'Where', 'Clear length mm', 'Clear width mm', 'Sections', 'Latest'],
    [there.id, ...there.at, 'new', own.position, own.clear_length_mm, own.clear_width_mm, own.sections + 1, ''],
    ['SW-1', there.at[0] + 0.0006, there.at[1], 'renewal', 'grass', 600, 600, 4, '12/03/2027'],
    ['SW-2', other.at[0] + 0.000005, other.at[1], 'new', 'footway', 600, 600, 4, ''],
    ['SW-3', there.at[0] + 0.0009, there.at[1], 'new', 'footway', 600, 600, 'two', ''],
  ];
  return { there: there.id, near: other.id, sections: own.sections, text: rows.map((row) => row.join(',')).join('\n') };
}

const table = (/** @type {Page} */ page) => page.getByRole('region', { name: 'Rows of the list' });
const kind = (/** @type {Page} */ page, /** @type {string} */ name) => page.getByRole('group', { name: 'Which rows are shown' }).getByRole('button', { name });

let failed = await suite(async (check) => {
  for (const scheme of ['light', 'dark'])
    await check(`a list is looked at first, put right where it stands, and taken in as one step, ${scheme}`, { scheme }, async (page) => {
      const { sheet: before } = await ask(page, { ask: 'sheet' });
      const list = await clientList(page);
      await drop(page, 'sallow-works.csv', list.text);
      const sheet = page.getByRole('dialog', { name: 'Take in sallow-works.csv' });
      await sheet.waitFor();
      assert.equal(await edition(page), before.edition, 'looking changes nothing');
      // What can't be seen is said before anything is touched, and led to.
      await sheet.getByRole('button', { name: /^\d more columns? to the right/ }).waitFor();
      await kind(page, 'At fault').waitFor();
      await page.getByLabel('What Kind is').selectOption('work');
      await page.getByLabel('What Where is').selectOption('position');
      await page.getByLabel('Work “renewal”').selectOption('replace');
      await page.getByLabel('Position “grass”').selectOption('verge');
      await kind(page, 'New 2').waitFor();
      await kind(page, 'At fault 1').waitFor();
      await kind(page, 'Near another 1').waitFor();
      assert.match(await table(page).innerText(), new RegExp(`sections ${list.sections} → ${list.sections + 1}`));
      assert.match(await table(page).innerText(), new RegExp(`near ${list.near}, 0\\.\\d m away`));
      assert.deepEqual(await axe(page), []);
      const cell = page.getByLabel('Sections, row 4');
      await cell.fill('3');
      await cell.press('Tab');
      await kind(page, 'New 3').waitFor();
      await page.getByLabel('Take in row 3').uncheck();
      await after(page, () => sheet.getByRole('button', { name: 'Take in 3 jobs' }).click());
      await sheet.waitFor({ state: 'detached' });
      const { sheet: taken } = await ask(page, { ask: 'sheet' });
      assert.deepEqual(taken.jobs.map((/** @type {any} */ job) => job.id).filter((/** @type {string} */ id) => id.startsWith('SW-')), ['SW-1', 'SW-3']);
      // What the list changed may take longer; whoever works at none of it works as before, and all of it where it was.
      const worked = (/** @type {any} */ column) => column.layers.filter((/** @type {any} */ layer) => layer.kind === 'work').map((/** @type {any} */ layer) => [layer.job, layer.stage, layer.from, layer.to]);
      const untouched = before.plan.columns.filter((/** @type {any} */ column) => !column.jobs.includes(list.there));
      assert.ok(untouched.length > 5 && untouched.length < before.plan.columns.length);
      for (const column of untouched) assert.deepEqual(worked(taken.plan.columns.find((/** @type {any} */ one) => one.key === column.key)), worked(column), column.key);
      const places = (/** @type {any} */ sheet) => sheet.plan.columns.map((/** @type {any} */ column) => [column.key, column.jobs]);
      assert.deepEqual(places(taken), places(before), 'each job stays with its gang and day');
      assert.equal((await stated(page, list.there)).properties.sections, list.sections + 1);
      assert.equal((await stated(page, 'SW-1')).properties.latest, '2027-03-12', 'dates are read day first');
      assert.deepEqual((await selected(page)).ids?.toSorted(), [list.there, 'SW-1', 'SW-3'].toSorted());
      await after(page, () => page.keyboard.press('z'));
      const { sheet: back } = await ask(page, { ask: 'sheet' });
      assert.equal(back.jobs.length, before.jobs.length, 'one undo takes all of it back');
    });

  await check('a client’s columns are remembered, and what is gone from their list is told', {}, async (page) => {
    const list = await clientList(page);
    const lines = list.text.split('\n');
    await drop(page, 'first.csv', lines.filter((line) => !line.startsWith('SW-3')).join('\n'));
    await page.getByLabel('What Kind is').selectOption('work');
    await page.getByLabel('What Where is').selectOption('position');
    await page.getByLabel('Work “renewal”').selectOption('replace');
    await page.getByLabel('Position “grass”').selectOption('verge');
    await page.getByLabel('Whose list').fill('Sallow Water');
    await page.keyboard.press('Tab');
    await kind(page, 'At fault 0').waitFor();
    await after(page, () => page.getByRole('button', { name: /^Take in 3 jobs/ }).click());
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    await drop(page, 'second.csv', lines.filter((line) => !/^SW-[23]/.test(line)).join('\n'));
    await page.getByLabel('Whose list').fill('Sallow Water');
    await page.keyboard.press('Tab');
    await page.getByText('Columns as last time for Sallow Water.').waitFor();
    await picture(page, 'columns-remembered');
    await kind(page, 'As it is 2').waitFor();
    await page.getByRole('heading', { name: 'Gone from the list' }).waitFor();
    await page.getByRole('heading', { name: 'Gone from the list' }).scrollIntoViewIfNeeded();
    await picture(page, 'gone');
    await page.getByLabel('Delete it from the programme').check();
    await after(page, () => page.getByRole('button', { name: /^Take in 0 jobs/ }).click());
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    const { sheet } = await ask(page, { ask: 'sheet' });
    assert.ok(!sheet.jobs.some((/** @type {any} */ job) => job.id === 'SW-2'));
    await after(page, () => page.keyboard.press('z'));
    await after(page, () => page.keyboard.press('z'));
  });

  await check('a list by keyboard alone: cells are walked through, a row is left out, Escape leaves everything as it was', {}, async (page) => {
    const before = await edition(page);
    const list = await clientList(page);
    await drop(page, 'sallow-works.csv', list.text);
    await page.getByLabel('Ref, row 1').focus();
    await page.keyboard.press('ArrowDown');
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute('aria-label')), 'Ref, row 2');
    await page.keyboard.press('ArrowUp');
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute('aria-label')), 'Ref, row 1');
    // What is typed in a cell is taken back alone; what was put right in another stays.
    await page.getByLabel('Sections, row 4').fill('3');
    await page.keyboard.press('Tab');
    await page.locator('td.corrected').getByLabel('Sections, row 4').waitFor();
    await page.getByLabel('Latest, row 2').focus();
    await page.keyboard.press('Control+a');
    await page.keyboard.type('soon');
    await page.keyboard.press('Escape');
    assert.equal(await page.getByLabel('Latest, row 2').inputValue(), '12/03/2027');
    assert.equal(await page.getByLabel('Sections, row 4').inputValue(), '3');
    await page.getByLabel('Latest, row 3').focus();
    await page.keyboard.press('Escape');
    assert.equal(await page.getByLabel('Latest, row 3').evaluate((one) => one === document.activeElement), true, 'nor does it leave the sheet where nothing was typed');
    assert.equal(await page.getByLabel('Sections, row 4').inputValue(), '3');
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    assert.equal(await edition(page), before);
  });

  /** How many jobs there were before any was added, and the id of the one that was. */
  let jobsBefore = 0;
  let added = '';

  /** Selects a job by its id, as by hand. */
  const findJob = async (/** @type {Page} */ page, /** @type {string} */ id) => {
    await page.keyboard.press('/');
    await page.keyboard.type(id);
    await page.getByRole('option').first().waitFor();
    await page.keyboard.press('Enter');
    await page.waitForFunction((want) => /** @type {any} */ (window.__gangday?.selection)?.id === want, id);
    await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
  };

  await check('by keyboard alone: a job is added and said what it is', {}, async (page) => {
    await mapDrawn(page);
    jobsBefore = (await ask(page, { ask: 'sheet' })).sheet.jobs.length;
    await page.keyboard.press('h');
    for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowRight');
    await after(page, () => page.keyboard.press('Enter'));
    await page.waitForFunction(() => document.activeElement?.id === 'field-work');
    const id = (await selected(page)).id;
    await page.locator('#field-sections').focus();
    await page.keyboard.press('Control+a');
    await page.keyboard.type('6');
    await after(page, () => page.keyboard.press('Tab'));
    await page.locator('#field-latest').focus();
    await page.keyboard.type('12/03/2027');
    await after(page, () => page.keyboard.press('Tab'));
    await page.locator('#field-site_hours').focus();
    await page.keyboard.type('09:30-12:00, 13:00-15:30');
    await after(page, () => page.keyboard.press('Tab'));
    await page.locator('#field-notes').focus();
    await page.keyboard.type('Gate code from the school.');
    await after(page, () => page.keyboard.press('Tab'));
    const { properties } = await stated(page, id);
    assert.deepEqual([properties.sections, properties.latest, properties.site_hours, properties.notes], [6, '2027-03-12', [['09:30', '12:00'], ['13:00', '15:30']], 'Gate code from the school.']);
    assert.deepEqual(await axe(page), []);
    added = id;
  });

  await check('by keyboard alone: a job is given another id, and its works area is drawn', {}, async (page) => {
    await mapDrawn(page);
    await findJob(page, added);
    await page.keyboard.press('N');
    await page.waitForFunction(() => document.activeElement?.id === 'field-id');
    await page.keyboard.press('Control+a');
    await page.keyboard.type('HS-17');
    await after(page, () => page.keyboard.press('Tab'));
    assert.equal((await selected(page)).id, 'HS-17');
    await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
    await page.keyboard.press('A');
    for (const way of ['ArrowRight', 'ArrowUp', 'ArrowLeft']) {
      await page.keyboard.press(' ');
      await page.keyboard.press(`Shift+${way}`);
    }
    await after(page, () => page.keyboard.press('Enter'));
    assert.equal((await stated(page, 'HS-17')).properties.works_area.coordinates[0].length, 5);
  });

  await check('by keyboard alone: a job is copied, pasted, and deleted', {}, async (page) => {
    await mapDrawn(page);
    await findJob(page, 'HS-17');
    await page.keyboard.press('Control+c');
    await page.getByText('HS-17 copied.').waitFor();
    await after(page, () => page.keyboard.press('Control+v'));
    const pasted = (await selected(page)).id;
    assert.notEqual(pasted, 'HS-17');
    assert.equal((await stated(page, pasted)).properties.sections, 6);
    await after(page, () => page.keyboard.press('Delete'));
    assert.equal((await ask(page, { ask: 'sheet' })).sheet.jobs.length, jobsBefore + 1);
  });

  await check('by keyboard alone: every step has its name in the list, and any of them is gone to', {}, async (page) => {
    await page.keyboard.press('H');
    const steps = page.getByRole('dialog', { name: 'What was done' });
    await steps.getByRole('button', { name: 'As it was to begin with' }).waitFor();
    assert.ok((await steps.getByRole('listitem').count()) >= 9, 'every step has a name in the list');
    assert.deepEqual(await axe(page), []);
    await steps.getByRole('button', { name: 'As it was to begin with' }).focus();
    await page.keyboard.press('Enter');
    await steps.waitFor({ state: 'detached' });
    await ready(page);
    const { sheet: back } = await ask(page, { ask: 'sheet' });
    assert.equal(back.jobs.length, jobsBefore);
    assert.equal(back.undo, null);
    await page.keyboard.press('H');
    await after(page, () => steps.getByRole('button', { name: /^Add / }).click());
    await page.waitForFunction(() => window.__gangday?.ready);
    assert.equal((await ask(page, { ask: 'sheet' })).sheet.jobs.length, jobsBefore + 1, 'forward again to the first step');
    await after(page, () => page.keyboard.press('z'));
  });

  await check('by mouse: a job is added by a click, its works area drawn by clicks, its pin dragged', {}, async (page) => {
    await mapDrawn(page);
    await page.getByRole('group', { name: 'Commands' }).getByRole('button', { name: /^Add job/ }).click();
    await page.mouse.move(300, 250);
    await page.mouse.move(320, 260);
    await after(page, () => page.mouse.click(320, 260));
    const id = (await selected(page)).id;
    const at = await page.evaluate((job) => /** @type {any} */ (window.__gangday?.map).queryRenderedFeatures({ layers: ['job-halo'] }).map((/** @type {any} */ one) => one.properties.id).includes(job), id);
    await page.waitForTimeout(1200);
    await mapDrawn(page);
    await page.getByRole('button', { name: /^Draw works area/ }).click();
    const spot = async () => page.evaluate(async () => {
      const map = /** @type {any} */ (window.__gangday?.map);
      const one = map.queryRenderedFeatures({ layers: ['job-halo'] })[0];
      return map.project(one.geometry.coordinates);
    });
    const { x, y } = await spot();
    for (const [dx, dy] of [[-40, -40], [40, -40], [40, 40]]) {
      await page.mouse.move(x + dx, y + dy, { steps: 2 });
      await page.mouse.click(x + dx, y + dy);
    }
    await picture(page, 'works-area');
    await after(page, () => page.getByRole('button', { name: /^Keep/ }).click());
    assert.ok((await stated(page, id)).properties.works_area.coordinates[0].length >= 4, `its area is kept (${at})`);
    await after(page, () => page.getByRole('button', { name: 'Remove works area' }).click());
    assert.equal((await stated(page, id)).properties.works_area, undefined);
    const was = (await stated(page, id)).at;
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 30, y + 10, { steps: 4 });
    await after(page, () => page.mouse.up());
    assert.notDeepEqual((await stated(page, id)).at, was);
  });

  await check('every figure is seen with its source, changed by keyboard, put back by mouse', {}, async (page) => {
    await page.keyboard.press('F');
    const sheet = page.getByRole('dialog', { name: 'Figures' });
    await sheet.getByRole('button', { name: 'Without a document' }).click();
    const rows = sheet.locator('tbody tr');
    const sources = await rows.evaluateAll((all) => all.map((row) => row.children[3]?.textContent?.trim() ?? ''));
    assert.ok(sources.length > 20 && sources.every((one) => /^(from memory|common practice)/i.test(one)), 'they say that there is none');
    assert.deepEqual(await axe(page), []);
    await sheet.getByRole('button', { name: 'All', exact: true }).click();
    await sheet.getByRole('searchbox').fill('waste.mortar');
    const field = sheet.getByRole('textbox', { name: 'waste.mortar', exact: true });
    const was = await field.inputValue();
    await field.fill('x');
    await field.press('Tab');
    await sheet.getByRole('alert').filter({ hasText: 'write a number' }).waitFor();
    await field.focus();
    await page.keyboard.press('Control+a');
    await page.keyboard.type(String(Number(was) + 5));
    await after(page, () => page.keyboard.press('Tab'));
    await sheet.getByLabel('Source of waste.mortar').waitFor();
    await after(page, () => sheet.getByRole('button', { name: /^Back to / }).click());
    await page.waitForFunction((value) => /** @type {HTMLInputElement | null} */ (document.querySelector('input[aria-label="waste.mortar"]'))?.value === value, was);
    await page.keyboard.press('Escape');
    await sheet.waitFor({ state: 'detached' });
    await after(page, () => page.keyboard.press('z'));
    await after(page, () => page.keyboard.press('z'));
  });

  await check('what the week and a gang-day take, what is planned and what is wrong follow an edit at once, and its undo', {}, async (page) => {
    const load = page.getByRole('region', { name: 'Load, contents' });
    /** How much base concrete is measured, m³, by one of the tabs. */
    const measured = async (/** @type {string} */ of) => {
      await load.getByRole('button', { name: of, exact: true }).or(load.getByRole('tab', { name: of, exact: true })).click();
      const row = load.locator('li').filter({ hasText: 'Base concrete' }).first();
      return Number(/measured ([\d.,]+)/.exec((await row.textContent()) ?? '')?.[1]?.replaceAll(',', ''));
    };
    const told = async () => ({ planned: (await page.locator('footer .summary').innerText()).match(/^(\d+) of (\d+) jobs/)?.slice(1).map(Number), wrong: await page.getByRole('region', { name: 'Put right, contents' }).locator('..').innerText() });
    const job = page.locator('[data-piece].work[data-job]').first();
    const id = (await job.getAttribute('data-job')) ?? '';
    const day = (await page.locator('[data-route]').filter({ has: job }).first().getAttribute('data-route')) ?? '';
    const head = page.locator(`[data-head="${day}"]`);
    await head.click();
    const before = { route: await measured('Route'), week: await measured('Week'), ...(await told()) };
    await job.click();
    await after(page, () => page.keyboard.press('Delete'));
    await head.click();
    const then = { route: await measured('Route'), week: await measured('Week'), ...(await told()) };
    assert.ok(before.route > then.route, `${before.route} and then ${then.route} m³ without ${id}`);
    assert.ok(Math.abs(before.week - then.week - (before.route - then.route)) < 0.021, JSON.stringify([before, then]));
    assert.deepEqual(then.planned, before.planned?.map((one) => one - 1));
    await after(page, () => page.keyboard.press('z'));
    await head.click();
    assert.deepEqual({ route: await measured('Route'), week: await measured('Week'), ...(await told()) }, before);
  });

  await check('a picture is kept with a job, looked at, and taken away', {}, async (page) => {
    await page.locator('[data-piece].work[data-job]').first().click();
    const job = (await selected(page)).id;
    // The smallest PNG there is: one pixel.
    const png = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==', 'base64');
    await after(page, () => page.getByLabel(`Picture of ${job}`).setInputFiles({ name: 'kerb.png', mimeType: 'image/png', buffer: png }));
    const pictures = page.getByRole('region', { name: `Pictures of ${job}` });
    await pictures.getByRole('button', { name: 'kerb.png', exact: true }).press('Enter');
    const img = pictures.getByRole('img');
    await img.waitFor();
    assert.equal(await img.evaluate((one) => /** @type {HTMLImageElement} */ (one).naturalWidth), 1);
    assert.deepEqual(await axe(page), []);
    await after(page, () => pictures.getByRole('button', { name: 'Take away kerb.png' }).click());
    assert.equal(await pictures.getByRole('button', { name: 'kerb.png', exact: true }).count(), 0);
    await after(page, () => page.keyboard.press('z'));
    await pictures.getByRole('button', { name: 'kerb.png', exact: true }).waitFor();
    await after(page, () => page.keyboard.press('z'));
  });

  await check('tables are written for a spreadsheet', {}, async (page) => {
    await page.keyboard.press('T');
    const sheet = page.getByRole('dialog', { name: 'Tables for a spreadsheet' });
    assert.deepEqual(await axe(page), []);
    await picture(page, 'tables');
    const [csv] = await Promise.all([page.waitForEvent('download'), sheet.getByRole('button', { name: 'CSV of jobs' }).press('Enter')]);
    const text = await readFile(await csv.path(), 'utf8');
    const { sheet: now } = await ask(page, { ask: 'sheet' });
    assert.equal(text.trim().split(/\r?\n/).length, now.jobs.length + 1, 'a heading and a line for each job');
    await page.keyboard.press('T');
    const [book] = await Promise.all([page.waitForEvent('download'), sheet.getByRole('button', { name: 'XLSX of all of it' }).click()]);
    assert.equal((await readFile(await book.path())).subarray(0, 2).toString(), 'PK');
  });

  await check('the week is changed by keyboard, and the title block says what the air is on its days', {}, async (page) => {
    assert.match(await page.locator('footer dl').innerText(), /3 to 10 °C/);
    await page.keyboard.press('W');
    const sheet = page.getByRole('dialog', { name: 'The week' });
    await page.waitForFunction(() => document.activeElement?.id === 'week-name');
    await sheet.getByLabel('Air temperature, where a day has none of its own').focus();
    assert.deepEqual(await axe(page), []);
    await page.keyboard.press('Control+a');
    await page.keyboard.type('14');
    await after(page, () => page.keyboard.press('Tab'));
    await page.keyboard.press('Escape');
    await page.waitForFunction(() => document.querySelector('footer dl')?.textContent?.includes('3 to 14 °C'));
    await after(page, () => page.keyboard.press('z'));
  });

  await check('several jobs are changed at once, and what they don’t state alike is said', {}, async (page) => {
    await mapDrawn(page);
    await page.keyboard.press('a');
    await page.keyboard.press('E');
    await page.waitForFunction(() => document.activeElement?.id === 'field-work');
    const ids = (await selected(page)).ids;
    assert.equal(await page.locator('#field-work').inputValue(), '?');
    assert.equal(await page.locator('#field-priority').getAttribute('placeholder'), 'several');
    assert.deepEqual(await axe(page), []);
    await page.locator('#field-permit').fill('STW-0412');
    await after(page, () => page.keyboard.press('Tab'));
    const all = await ask(page, { ask: 'stated', jobs: ids });
    assert.ok(all.jobs.length > 10 && all.jobs.every((/** @type {any} */ one) => one.properties.permit === 'STW-0412'));
    assert.equal(await page.locator('#field-permit').inputValue(), 'STW-0412');
    await after(page, () => page.keyboard.press('Control+z').then(() => page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement)?.blur())).then(() => page.keyboard.press('Control+z')));
    const back = await ask(page, { ask: 'stated', jobs: ids });
    assert.ok(!back.jobs.every((/** @type {any} */ one) => one.properties.permit === 'STW-0412'), 'one undo takes it back in all');
  });

  await check('a street is set by what it is called, not by its id', {}, async (page) => {
    await mapDrawn(page);
    const { sheet } = await ask(page, { ask: 'sheet' });
    const all = await ask(page, { ask: 'stated', jobs: sheet.jobs.map((/** @type {any} */ job) => job.id) });
    const named = all.jobs.filter((/** @type {any} */ one) => one.properties.street);
    const [one] = named;
    const other = sheet.streets.find((/** @type {any} */ street) => street.name && named.every((/** @type {any} */ job) => job.properties.street !== street.id));
    await findJob(page, one.id);
    await page.keyboard.press('E');
    const field = page.locator('#field-street');
    await field.waitFor();
    const was = sheet.streets.find((/** @type {any} */ street) => street.id === one.properties.street).name;
    assert.equal(await field.inputValue(), was);
    assert.ok(await page.locator(`#streets option[value="${other.name}"]`).count() === 1, 'it can be chosen');
    await field.fill(other.name.toUpperCase());
    await after(page, () => page.keyboard.press('Tab'));
    // The form reads again what the job states once the edit is there.
    await page.waitForFunction((want) => /** @type {HTMLInputElement | null} */ (document.querySelector('#field-street'))?.value === want, other.name);
    const { street } = (await stated(page, one.id)).properties;
    assert.equal(sheet.streets.find((/** @type {any} */ of) => of.id === street).name, other.name);
    await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
    await after(page, () => page.keyboard.press('z'));
    assert.equal((await stated(page, one.id)).properties.street, one.properties.street);
  });
});

// A folder goes into one file and comes out as a folder again, with what Gangday doesn't know of.
const place = await mkdtemp(join(tmpdir(), 'gangday-lossless-'));
const [folder, file, out] = ['folder', 'week.gpkg', 'out'].map((name) => join(place, name));
await cp(join(ROOT, 'sample-data/small-week'), folder, { recursive: true });
const jobs = JSON.parse(await readFile(join(folder, 'jobs.geojson'), 'utf8'));
Object.assign(jobs, { surveyed_by: 'our own office', features: jobs.features.map((/** @type {any} */ one, /** @type {number} */ i) => ({ ...one, properties: { ...one.properties, kerb_colour: `grey ${i}`, nested: { of: [1, 2.50, null] } } })) });
await writeFile(join(folder, 'jobs.geojson'), JSON.stringify(jobs, null, 3));
failed += await suite(async (check) => {
  await check('a folder is saved as one file and that as a folder, and nothing of it is another, down to what is not known', {}, async (page) => {
    const saved = async (/** @type {string} */ path, /** @type {() => Promise<void>} */ go) => {
      await page.keyboard.press('S');
      await page.getByRole('dialog').getByRole('textbox').fill(path);
      await go();
      await page.getByRole('dialog').waitFor({ state: 'detached' });
      assert.equal((await ask(page, { ask: 'sheet' })).sheet.folder, path);
    };
    await saved(file, () => page.keyboard.press('Enter'));
    await saved(out, () => page.getByRole('dialog').getByRole('button', { name: 'Save', exact: true }).click());
    const names = (await readdir(folder)).filter((name) => /json$/.test(name));
    assert.ok(names.length > 5);
    for (const name of names) assert.equal(await readFile(join(out, name), 'utf8'), await readFile(join(folder, name), 'utf8'), name);
  });
}, [folder]);
await rm(place, { recursive: true });

finish(failed);
