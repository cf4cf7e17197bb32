// @ts-check
/** The form of a job, and what is said of a job beside it: refusals where they belong, dates as people write them, what people call it, several at one place. */
import assert from 'node:assert/strict';
import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { mapDrawn, selected } from './browser.mjs';
import { after, ask, drop, firstJob, ROOT } from './driven.mjs';
import { axe, finish, picture, suite } from './harness.mjs';
import { faulty } from './made.mjs';

/** @typedef {import('playwright-core').Page} Page */

const stated = async (/** @type {Page} */ page, /** @type {string} */ job) => (await ask(page, { ask: 'stated', jobs: [job] })).jobs[0];

/** Opens the form of the first job on the board; its id. */
async function openForm(/** @type {Page} */ page) {
  await firstJob(page).click();
  const id = (await firstJob(page).getAttribute('data-job')) ?? '';
  await page.keyboard.press('E');
  await page.waitForFunction(() => document.activeElement?.id === 'field-work');
  return id;
}

/** Types in a field by keyboard, over what stands there, and goes on to the next. */
async function type(/** @type {Page} */ page, /** @type {string} */ name, /** @type {string} */ text) {
  await page.locator(`#field-${name}`).focus();
  await page.keyboard.press('Control+a');
  await page.keyboard.type(text);
  await page.keyboard.press('Tab');
}

/** What is said of a field, where it lies below it, and whether it is seen whole. */
const said = (/** @type {Page} */ page, /** @type {string} */ name) =>
  page.locator(`#field-${name}`).evaluate((/** @type {HTMLInputElement} */ field) => {
    const why = document.getElementById(field.getAttribute('aria-describedby') ?? '');
    const box = why?.getBoundingClientRect();
    const seen = box === undefined ? null : document.elementFromPoint(box.left + 4, box.bottom - 8);
    return { typed: field.value, invalid: field.getAttribute('aria-invalid'), text: why?.textContent?.trim() ?? '', below: box === undefined ? null : Math.round(box.top - field.getBoundingClientRect().bottom), seen: why?.contains(seen) ?? false };
  });

let failed = await suite(async (check) => {
  for (const scheme of ['light', 'dark'])
    await check(`what a field can’t be is said right below it, and kept until it is put right, ${scheme}`, { scheme, refusals: true }, async (page) => {
      await mapDrawn(page);
      const id = await openForm(page);
      const was = (await stated(page, id)).properties;
      for (const [name, text, words] of /** @type {const} */ ([['latest', '31 Foo', /^Write the date as /], ['sections', 'four', /^Write a whole number/], ['priority', '9', /./]])) {
        await type(page, name, text);
        await page.locator(`#field-${name}[aria-invalid=true]`).waitFor();
        const now = await said(page, name);
        assert.deepEqual([now.typed, now.invalid, now.seen], [text, 'true', true], JSON.stringify(now));
        assert.match(now.text, words);
        assert.ok(now.below !== null && now.below >= 0 && now.below < 12, `${now.below} px below`);
      }
      assert.equal((await said(page, 'latest')).typed, '31 Foo', 'it stays while others are written');
      assert.deepEqual(await axe(page), []);
      if (scheme === 'light') await picture(page, 'refused-field');
      assert.deepEqual((await stated(page, id)).properties, was, 'nothing was changed');
      await type(page, 'latest', 'Mon 12 Mar 2027');
      await page.getByRole('alert').filter({ hasText: '12 March 2027 is a Friday, not a Monday.' }).waitFor();
      await after(page, () => type(page, 'latest', 'Fri 12 Mar 27'));
      assert.deepEqual([(await said(page, 'latest')).invalid, (await stated(page, id)).properties.latest], [null, '2027-03-12']);
      assert.equal((await said(page, 'latest')).typed, '12/03/2027');
      await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
      await after(page, () => page.keyboard.press('z'));
    });

  await check('what people call a job is written in its form, stands in its head, is found, and stands on the page for the client', {}, async (page) => {
    await mapDrawn(page);
    const id = await openForm(page);
    const was = (await stated(page, id)).properties.title;
    const words = 'By the <b>lych</b> gate & pump';
    await after(page, () => type(page, 'title', words));
    assert.equal((await stated(page, id)).properties.title, words);
    const sheet = page.getByRole('region', { name: `Job ${id}`, exact: true });
    assert.ok((await sheet.getByRole('heading').first().innerText()).startsWith(`${id} ${words}, `));
    await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
    await page.keyboard.press('Escape');
    await page.keyboard.press('/');
    await page.keyboard.type('lych</b> gate');
    assert.equal(await page.getByRole('option').count(), 1);
    await page.keyboard.press('Enter');
    await sheet.waitFor();
    const { html } = await ask(page, { ask: 'client_page' });
    assert.ok(html.includes('By the &lt;b&gt;lych&lt;/b&gt; gate &amp; pump · ') && !html.includes('<b>lych'));
    await page.locator('#find').blur();
    await after(page, () => page.keyboard.press('z'));
    assert.equal((await stated(page, id)).properties.title, was);
  });

  await check('of two jobs at one place a click takes the one that is labelled, a further click the other, and that there are two is said', {}, async (page) => {
    await mapDrawn(page);
    const { sheet } = await ask(page, { ask: 'sheet' });
    // The one that comes later is the more urgent: it is not picked for lying on top.
    const later = sheet.jobs.findLast((/** @type {any} */ job) => job.priority === 1);
    const first = sheet.jobs.find((/** @type {any} */ job) => job.priority > 1);
    await ask(page, { ask: 'edit', edit: { do: 'move', pins: [{ id: later.id, at: first.at }] } });
    await page.reload();
    await mapDrawn(page);
    await page.keyboard.press('/');
    await page.keyboard.type(later.id);
    await page.keyboard.press('Enter');
    await page.locator('#find').blur();
    await page.getByText('2 of 2 jobs at this place.').waitFor();
    await page.waitForTimeout(1200);
    await mapDrawn(page);
    await picture(page, 'one-place');
    const spot = await page.evaluate((at) => {
      const map = /** @type {any} */ (window.__gangday?.map);
      const box = map.getCanvas().getBoundingClientRect();
      const { x, y } = map.project(at);
      return { x: box.left + x, y: box.top + y };
    }, first.at);
    const labels = () => page.evaluate(([one, other]) => /** @type {any} */ (window.__gangday?.map).queryRenderedFeatures({ layers: ['job-id'] }).map((/** @type {any} */ label) => label.properties.id).filter((/** @type {string} */ id) => id === one || id === other), [first.id, later.id]);
    assert.deepEqual(await labels(), [later.id], 'what is selected has the label');
    await page.keyboard.press('Escape');
    await page.waitForTimeout(600);
    await mapDrawn(page);
    assert.deepEqual(await labels(), [first.id], 'nothing selected: the first has it');
    for (const [id, words] of [[first.id, '1 of 2 jobs'], [later.id, '2 of 2 jobs'], [first.id, '1 of 2 jobs']]) {
      await page.mouse.click(spot.x, spot.y);
      await page.getByText(`${words} at this place.`).waitFor();
      assert.equal((await selected(page)).id, id);
      await page.waitForTimeout(600);
    }
    assert.deepEqual(await axe(page), []);
    await after(page, () => page.keyboard.press('z'));
  });

  await check('the time at which a stage was done is asked for in words', {}, async (page) => {
    await mapDrawn(page);
    await firstJob(page).click();
    await page.getByRole('button', { name: /record as done$/ }).first().click();
    const field = page.getByRole('textbox', { name: /When it was done/ });
    await field.fill('25:99');
    await page.keyboard.press('Enter');
    await page.getByRole('alert').filter({ hasText: 'Write the time as 08:30' }).waitFor();
    assert.deepEqual(await axe(page), []);
    await field.fill('16:40');
    await page.getByRole('alert').waitFor({ state: 'detached' });
    await page.keyboard.press('Escape');
  });
});

const place = await mkdtemp(join(tmpdir(), 'gangday-form-'));
await faulty(join(place, 'faulty'));
await cp(join(ROOT, 'sample-data/small-week'), join(place, 'one'), { recursive: true });
const jobs = JSON.parse(await readFile(join(place, 'one/jobs.geojson'), 'utf8'));
Object.assign(jobs.features[1], { geometry: null });
jobs.features[1].properties.note = '<b id="live">bold</b>';
await writeFile(join(place, 'one/jobs.geojson'), JSON.stringify(jobs));

/** What is left out, in the order of the list, and the sheet that a finding of it leads to. */
const leftOut = (/** @type {Page} */ page) => page.getByRole('region', { name: 'Put right, contents' }).getByRole('button', { name: /, left out$/ });

failed += await suite(async (check) => {
  await check('every finding of a folder in which all sorts of things are at fault leads to the place that mends it', {}, async (page) => {
    const { sheet } = await ask(page, { ask: 'sheet' });
    const codes = new Set(sheet.findings.map((/** @type {any} */ one) => one.code));
    for (const code of ['J-GEOM', 'J-ID', 'J-DUP', 'J-VALUE', 'J-TYPE', 'J-DATE', 'J-SIZE', 'J-HOURS', 'J-NEED', 'J-SWAP', 'J-FAR', 'J-STREET', 'F-FEATURE', 'S-GEOM', 'S-ID', 'G-TYPE', 'G-ID', 'W-TYPE', 'W-DATE', 'P-TYPE', 'F-JSON', 'F-DIARY', 'F-NETWORK']) assert.ok(codes.has(code), `${code} is not among ${[...codes]}`);
    const panel = page.getByRole('region', { name: 'Put right, contents' });
    const more = panel.getByRole('button', { name: /more/ });
    while (await more.count()) await more.first().click();
    const lines = await panel.locator('.finding').evaluateAll((all) => all.map((one) => ({ text: one.textContent ?? '', code: one.querySelector('[aria-expanded]')?.textContent ?? '', leads: one.querySelector('button:not([aria-expanded])') !== null })));
    assert.equal(lines.length, sheet.findings.length, 'every one is listed');
    const nowhere = ['F-HEIGHT', 'J-NUMBER', 'S-NUMBER', 'G-NUMBER'];
    assert.deepEqual(lines.filter((one) => !one.leads && !nowhere.includes(one.code)).map((one) => one.text), []);
  });
}, [join(place, 'faulty')]);

failed += await suite(async (check) => {
  await check('a job without a place is followed from its finding, put on the map, taken back, and removed', { refusals: true }, async (page) => {
    await mapDrawn(page);
    const jobsOf = async () => (await ask(page, { ask: 'sheet' })).sheet.jobs.length;
    const before = await jobsOf();
    await leftOut(page).first().click();
    const sheet = page.getByRole('dialog', { name: 'J002 in jobs.geojson is left out' });
    await sheet.getByText('has no geometry').waitFor();
    assert.equal(await sheet.getByLabel('note', { exact: true }).inputValue(), '<b id="live">bold</b>');
    await sheet.getByText('As it stands in the file', { exact: true }).click();
    assert.match(await sheet.locator('pre').innerText(), /"geometry": null/);
    assert.equal(await page.locator('#live').count(), 0, 'what stands in it is text and nothing else');
    assert.deepEqual(await axe(page), []);
    await picture(page, 'left-out');
    await sheet.getByLabel('Longitude').fill('3 west');
    await sheet.getByRole('button', { name: 'Put it there' }).click();
    await sheet.getByRole('alert').filter({ hasText: 'Write both as degrees' }).waitFor();
    const [lon, lat] = jobs.features[0].geometry.coordinates;
    await sheet.getByLabel('Longitude').fill(String(lon + 0.0004));
    await sheet.getByLabel('Latitude').fill(String(lat));
    await after(page, () => sheet.getByRole('button', { name: 'Put it there' }).click());
    await sheet.waitFor({ state: 'detached' });
    assert.deepEqual([await jobsOf(), (await selected(page)).id], [before + 1, 'J002']);
    assert.deepEqual((await stated(page, 'J002')).at, [lon + 0.0004, lat]);
    await page.keyboard.press('Escape');
    await after(page, () => page.keyboard.press('z'));
    assert.equal(await jobsOf(), before);
    await leftOut(page).first().click();
    await after(page, () => sheet.getByRole('button', { name: 'Remove J002' }).click());
    await page.getByText('J002 removed from jobs.geojson. Undo brings it back.').waitFor();
    assert.equal(await leftOut(page).count(), 0);
    await after(page, () => page.keyboard.press('z'));
    assert.equal(await leftOut(page).count(), 1);
  });

  await check('a row of a list whose job is left out leads to that job, and what was put right in the list is there after it', {}, async (page) => {
    await mapDrawn(page);
    const [lon, lat] = jobs.features[0].geometry.coordinates;
    await drop(page, 'theirs.csv', ['id,lon,lat,work,position,sections,clear_length_mm,clear_width_mm', `J002,${lon},${lat},new,footway,3,450,450`, `T-1,${lon + 0.001},${lat},new,footway,three,450,450`].join('\n'));
    const list = page.getByRole('dialog', { name: 'Take in theirs.csv' });
    await list.getByLabel('Sections, row 2').fill('3');
    await page.keyboard.press('Tab');
    await list.getByRole('button', { name: 'Take in 1 job', exact: true }).waitFor();
    await list.getByRole('button', { name: 'J002, left out' }).first().click();
    const sheet = page.getByRole('dialog', { name: 'J002 in jobs.geojson is left out' });
    await after(page, () => sheet.getByRole('button', { name: 'Remove J002' }).click());
    await list.waitFor();
    assert.equal(await list.getByLabel('Sections, row 2').inputValue(), '3', 'what was put right is still so');
    await list.getByRole('button', { name: 'Take in 2 jobs', exact: true }).waitFor();
    await page.keyboard.press('Escape');
    await after(page, () => page.keyboard.press('z'));
  });
}, [join(place, 'one')]);
await rm(place, { recursive: true });

finish(failed);
