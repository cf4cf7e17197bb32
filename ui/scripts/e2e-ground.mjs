// @ts-check
/** What the map shows and what lies over it: the first minutes of an empty programme, what is in hand, names over lines, and areas drawn by keys. */
import assert from 'node:assert/strict';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { mapDrawn, selected } from './browser.mjs';
import { after as drawnAfter, ask, openPath } from './driven.mjs';
import { axe, finish, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */
/** @typedef {{ id: string, at: [number, number] }} Placed */

/** Does something and waits until the sheet that came of it is there, and the map stands still. */
async function after(/** @type {Page} */ page, /** @type {() => Promise<unknown>} */ act) {
  await drawnAfter(page, act);
  await still(page);
}

/** Waits until the map has gone where it goes. */
async function still(/** @type {Page} */ page) {
  await page.waitForTimeout(400);
  await page.waitForFunction(() => !(/** @type {any} */ (window.__gangday?.map).isMoving()), null, { polling: 50 });
  await mapDrawn(page);
}

const jobsOf = async (/** @type {Page} */ page) => /** @type {Placed[]} */ ((await ask(page, { ask: 'sheet' })).sheet.jobs);

/** Which of some places can't be seen: off the map, or with something over it. */
const hidden = (/** @type {Page} */ page, /** @type {Placed[]} */ all) =>
  page.evaluate((all) => {
    const map = /** @type {any} */ (window.__gangday?.map);
    return all.flatMap(({ id, at }) => {
      const { x, y } = map.project(at);
      const over = document.elementFromPoint(x, y);
      return over?.tagName === 'CANVAS' ? [] : [`${id} at ${Math.round(x)}, ${Math.round(y)} under ${over === null ? 'nothing' : over.className || over.tagName}`];
    });
  }, all);

/** The same once the map has made way for what was said last. */
async function hiddenAtLast(/** @type {Page} */ page, /** @type {Placed[]} */ all) {
  await page.locator('.hand[aria-busy=false]').waitFor();
  await still(page);
  for (let tries = 0; tries < 50 && (await hidden(page, all)).length > 0; tries++) await page.waitForTimeout(100);
  return hidden(page, all);
}

/** Which jobs are drawn as marks. */
const drawn = (/** @type {Page} */ page) => page.evaluate(() => [...new Set(/** @type {any} */ (window.__gangday?.map).queryRenderedFeatures({ layers: ['job'] }).map((/** @type {any} */ one) => one.properties.id))].sort());

const zoom = (/** @type {Page} */ page) => page.evaluate(() => /** @type {any} */ (window.__gangday?.map).getZoom());

/** Brings a list in by the button that the first page names, and takes it in. */
async function takeIn(/** @type {Page} */ page, /** @type {string} */ name, /** @type {readonly (readonly (string | number)[])[]} */ rows) {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: /^Take in/ }).first().click()]);
  await chooser.setFiles({ name, mimeType: 'text/csv', buffer: Buffer.from(rows.map((row) => row.join(',')).join('\n')) });
  const sheet = page.getByRole('dialog', { name: `Take in ${name}` });
  await after(page, () => sheet.getByRole('button', { name: /^Take in \d+ job/ }).click());
  await sheet.waitFor({ state: 'detached' });
}

const HEAD = ['Id', 'Work', 'Position', 'Clear length mm', 'Clear width mm', 'Sections'];
const work = (/** @type {string} */ id) => [id, 'new', 'footway', 600, 600, 3];
/** About 500 m of one street, by longitude and latitude. */
const BY_DEGREES = [['Longitude', 'Latitude', ...HEAD], [-1.5491, 53.8008, ...work('L-1')], [-1.5449, 53.8021, ...work('L-2')], [-1.5470, 53.8013, ...work('L-3')]];
/** A kilometre east of them, on the National Grid (EPSG:27700, metres). */
const BY_GRID = [['Easting', 'Northing', ...HEAD], [430_900, 433_600, ...work('N-1')], [431_100, 433_800, ...work('N-2')]];

/** Clicks on the map, once the pin that is in hand goes with the pointer. */
async function putOnMap(/** @type {Page} */ page, /** @type {number} */ x, /** @type {number} */ y) {
  await page.mouse.move(x - 20, y - 10);
  await page.mouse.move(x, y);
  await after(page, () => page.mouse.click(x, y));
}

const BRITAIN = /** @type {Placed[]} */ ([{ id: 'Scilly', at: [-6.3, 49.9] }, { id: 'Kent', at: [1.4, 51.3] }, { id: 'Cape Wrath', at: [-5, 58.6] }, { id: 'Unst', at: [-0.85, 60.8] }]);

const fresh = await mkdtemp(join(tmpdir(), 'gangday-e2e-'));
let failed = await suite(async (check) => {
  await check('the first minutes, by mouse: a list, another on the grid, a gang, a tip, the week', {}, async (page) => {
    await still(page);
    assert.deepEqual(await hidden(page, BRITAIN), [], 'while there is nothing, all of Great Britain is seen');
    await takeIn(page, 'degrees.csv', BY_DEGREES);
    let jobs = await jobsOf(page);
    assert.deepEqual(jobs.map((job) => job.id).sort(), ['L-1', 'L-2', 'L-3']);
    assert.deepEqual(await hidden(page, jobs), []);
    assert.deepEqual(await drawn(page), ['L-1', 'L-2', 'L-3']);
    assert.ok((await zoom(page)) > 13, `close enough to tell them apart: zoom ${await zoom(page)}`);
    await takeIn(page, 'grid.csv', BY_GRID);
    jobs = await jobsOf(page);
    assert.equal(jobs.length, 5);
    assert.deepEqual(await hidden(page, jobs.filter((job) => job.id.startsWith('N'))), [], 'what was taken in is seen');
    await page.getByRole('button', { name: /^Whole/ }).click();
    await still(page);
    assert.deepEqual(await hidden(page, jobs), []);
    const gangs = page.getByRole('dialog', { name: 'Gangs and tips' });
    await page.getByRole('button', { name: /^Gangs/ }).click();
    for (const [add, x, y] of /** @type {const} */ ([['Add a gang', 420, 180], ['Add a tip', 520, 200]])) {
      await gangs.getByRole('button', { name: add }).click();
      await putOnMap(page, x, y);
    }
    await gangs.getByRole('button', { name: /^Close/ }).click();
    const { sheet } = await ask(page, { ask: 'sheet' });
    for (const at of [sheet.gangs[0].depot, sheet.tips[0].at]) {
      // A degree of latitude is about 111.2 km; here one of longitude is about 65.7 km.
      const far = Math.min(...jobs.map((job) => Math.hypot((job.at[0] - at[0]) * 65.7, (job.at[1] - at[1]) * 111.2)));
      assert.ok(far < 3, `${far} km from the nearest job`);
    }
    await after(page, () => page.getByRole('button', { name: 'Plan the week' }).click());
    const { sheet: planned } = await ask(page, { ask: 'sheet' });
    assert.deepEqual(planned.plan?.unplanned ?? null, [], 'every job is planned');
    assert.deepEqual(await hidden(page, jobs), []);
  });

  await check('the first list brings the map there again after it was taken back and done again, also where the map had been moved', {}, async (page) => {
    // What the first was given need not be saved here.
    const anyway = page.getByRole('button', { name: /^Open all the same/ });
    const over = async (/** @type {import('playwright-core').Locator} */ opened) => {
      await Promise.race([anyway.waitFor(), opened.waitFor()]);
      if (await anyway.isVisible()) await anyway.click();
      await opened.waitFor();
    };
    const other = await mkdtemp(join(tmpdir(), 'gangday-e2e-'));
    await openPath(page, other);
    await over(page.getByRole('heading', { name: 'No week is planned yet' }));
    await still(page);
    await page.mouse.move(400, 200);
    await page.mouse.down();
    await page.mouse.move(600, 300, { steps: 4 });
    await page.mouse.up();
    await takeIn(page, 'degrees.csv', BY_DEGREES);
    const jobs = await jobsOf(page);
    assert.deepEqual(await hidden(page, jobs), []);
    await after(page, () => page.keyboard.press('z'));
    await page.keyboard.press('Escape');
    await page.evaluate(() => /** @type {any} */ (window.__gangday?.map).jumpTo({ center: [-5, 58], zoom: 9 }));
    await after(page, () => page.keyboard.press('Z'));
    assert.deepEqual(await hidden(page, jobs), []);
    await page.keyboard.press('o');
    await page.getByRole('button', { name: 'Open the small week' }).click();
    await over(page.getByText('The demo week is open.'));
    await still(page);
    assert.deepEqual(await hidden(page, await jobsOf(page)), [], 'another programme is shown whole');
    await rm(other, { recursive: true });
  });
}, [fresh]);
await rm(fresh, { recursive: true });

failed += await suite(async (check) => {
  for (const [text, name] of /** @type {const} */ ([[0, 'plain text'], [3, 'the largest text']]))
    await check(`what is in hand is never under the words about it, ${name}`, {}, async (page) => {
      for (let i = 0; i < text; i++) await page.keyboard.press('+');
      await still(page);
      const all = (await ask(page, { ask: 'sheet' })).sheet.jobs.filter((/** @type {any} */ job) => job.route !== null);
      for (const job of [all[0], all[7], all.at(-1)]) {
        await page.keyboard.press('/');
        await page.keyboard.press('Control+a');
        await page.keyboard.type(job.id);
        await page.getByRole('option').first().waitFor();
        await page.keyboard.press('Enter');
        await page.waitForFunction((want) => /** @type {any} */ (window.__gangday?.selection)?.id === want, job.id);
        await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
        await page.keyboard.press('x');
        const panel = page.getByRole('region', { name: 'In hand' });
        await panel.waitFor();
        assert.deepEqual(await hiddenAtLast(page, [job]), [], 'just picked up');
        const low = await panel.evaluate((one) => one.getBoundingClientRect().height);
        for (let i = 0; i < 2; i++) await page.keyboard.press(job.id === all.at(-1).id ? 'ArrowLeft' : 'ArrowRight');
        await panel.getByRole('button', { name: /^Put down/ }).waitFor();
        await page.locator('.hand[aria-busy=false]').waitFor();
        const high = await panel.evaluate((one) => one.getBoundingClientRect().height);
        assert.ok(high > low, `the words about it have grown from ${low} to ${high}`);
        assert.deepEqual(await hiddenAtLast(page, [job]), [], 'over another gang-day');
        const marked = await page.evaluate(() => /** @type {any} */ (window.__gangday?.map).queryRenderedFeatures({ layers: ['job-halo', 'dig-held'] }).map((/** @type {any} */ one) => one.properties.id));
        assert.ok(marked.includes(job.id), 'and it is marked');
        await page.keyboard.press('Escape');
        await panel.waitFor({ state: 'detached' });
        await still(page);
        const pad = await page.evaluate(() => /** @type {any} */ (window.__gangday?.map).getPadding().bottom);
        const board = await page.locator('.board').first().evaluate((one) => one.getBoundingClientRect().height);
        assert.ok(Math.abs(pad - board) < 60, `the map is as free as before: ${pad}, ${board}`);
      }
    });

  await check('a job that is carried from the board, with another selected, is on the map too', {}, async (page) => {
    await still(page);
    // The one that lies lowest on the map, where the words about it would cover it.
    const lowest = await page.evaluate((all) => {
      const map = /** @type {any} */ (window.__gangday?.map);
      const shown = all.filter((one) => document.querySelector(`[data-piece].work[data-job="${one.id}"]`) !== null);
      return shown.sort((a, b) => map.project(b.at).y - map.project(a.at).y)[0]?.id ?? '';
    }, await jobsOf(page));
    const piece = page.locator(`[data-piece].work[data-job="${lowest}"]`).first();
    const job = await piece.getAttribute('data-job');
    const spot = await piece.boundingBox();
    assert.ok(spot);
    await page.mouse.move(spot.x + 20, spot.y + 6);
    await page.mouse.down();
    await page.mouse.move(spot.x + 60, spot.y + 30, { steps: 4 });
    await page.mouse.move(spot.x + 260, spot.y + 60, { steps: 6 });
    await page.getByRole('region', { name: 'In hand' }).waitFor();
    await still(page);
    const [held] = (await jobsOf(page)).filter((one) => one.id === job);
    assert.ok(held);
    assert.deepEqual(await hidden(page, [held]), []);
    await page.keyboard.press('Escape');
    await page.mouse.up();
  });

  await check('close by, jobs have their ids beside them and streets their names over every line', {}, async (page) => {
    await still(page);
    const [center] = (await jobsOf(page)).map((one) => one.at);
    await page.evaluate((center) => /** @type {any} */ (window.__gangday?.map).jumpTo({ center, zoom: 15.5 }), center);
    await still(page);
    const shown = await page.evaluate(() => {
      const map = /** @type {any} */ (window.__gangday?.map);
      const seen = (/** @type {string} */ layer) => new Set(map.queryRenderedFeatures({ layers: [layer] }).map((/** @type {any} */ one) => one.properties.id));
      const [jobs, ids, names] = ['job', 'job-id', 'street-name'].map(seen);
      const order = map.getStyle().layers.map((/** @type {any} */ layer) => layer.id);
      const lines = order.filter((/** @type {string} */ id) => /^(route-|closure|diversion|clash|street(-edge|-way)?$)/.test(id) && id !== 'closure-hours');
      return { jobs: jobs?.size ?? 0, ids: ids?.size ?? 0, names: names?.size ?? 0, under: lines.every((/** @type {string} */ id) => order.indexOf(id) < order.indexOf('street-name')), lines: lines.length };
    });
    assert.ok(shown.jobs >= 2 && shown.ids > shown.jobs / 3, JSON.stringify(shown));
    assert.ok(shown.names > 3 && shown.lines > 8 && shown.under, JSON.stringify(shown));
  });

  await check('a row of a list that says no place is put on the map, by a click and by keys, and its cells say so', {}, async (page) => {
    await still(page);
    const [one] = await jobsOf(page);
    assert.ok(one);
    const rows = [['Id', 'Longitude', 'Latitude', 'Work', 'Position', 'Clear length mm', 'Clear width mm', 'Sections'], ['P-1', one.at[0] + 0.0007, one.at[1], 'new', 'footway', 600, 600, 3], ['P-2', '', '', 'new', 'footway', 600, 600, 3]];
    await page.evaluate((text) => {
      const data = new DataTransfer();
      data.items.add(new File([text], 'placeless.csv'));
      for (const type of ['dragover', 'drop']) document.body.dispatchEvent(new DragEvent(type, { dataTransfer: data, bubbles: true, cancelable: true }));
    }, rows.map((row) => row.join(',')).join('\n'));
    const list = page.getByRole('dialog', { name: 'Take in placeless.csv' });
    await list.getByRole('button', { name: 'At fault 1' }).waitFor();
    assert.equal(await list.getByRole('button', { name: /^Put on the map/ }).count(), 1, 'only the row that has no place');
    await list.getByRole('button', { name: /^Put on the map *, row 2$/ }).click();
    await page.getByText('The pin of row 2 is in hand').waitFor();
    const [x, y] = [360, 210];
    await page.mouse.move(x - 30, y);
    await page.mouse.move(x, y);
    const at = await page.evaluate(([x, y]) => /** @type {any} */ (window.__gangday?.map).unproject([x, y]).toArray(), [x, y]);
    await page.mouse.click(x, y);
    await list.getByRole('button', { name: 'At fault 0' }).waitFor();
    const cell = async (/** @type {string} */ column) => Number(await list.getByLabel(`${column}, row 2`).inputValue());
    assert.ok(Math.abs((await cell('Longitude')) - at[0]) < 2e-5 && Math.abs((await cell('Latitude')) - at[1]) < 2e-5, 'where it was clicked');
    // By keys from here on: the focus is on what it was about.
    await page.waitForFunction(() => document.activeElement?.textContent?.startsWith('Move its pin'), null, { polling: 50 });
    assert.deepEqual(await axe(page), []);
    const before = await cell('Latitude');
    await page.keyboard.press('Enter');
    await page.getByText('The pin of row 2 is in hand').waitFor();
    for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowUp');
    await page.keyboard.press('Enter');
    await list.waitFor();
    await page.waitForFunction((was) => Number(/** @type {HTMLInputElement | null} */ (document.querySelector('[aria-label="Latitude, row 2"]'))?.value ?? was) !== was, before, { polling: 50 });
    // 30 m north: a degree of latitude is about 111.2 km.
    assert.ok(Math.abs(((await cell('Latitude')) - before) * 111_195 - 30) < 0.1);
    await page.waitForFunction(() => document.activeElement?.textContent?.startsWith('Move its pin'), null, { polling: 50 });
    await page.keyboard.press('Enter');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Escape');
    await list.waitFor();
    const typed = list.getByLabel('Latitude, row 2');
    await typed.fill('nowhere');
    await typed.press('Tab');
    await list.getByRole('button', { name: 'At fault 1' }).waitFor();
    await typed.fill(String(at[1]));
    await typed.press('Tab');
    await list.getByRole('button', { name: 'At fault 0' }).waitFor();
    await after(page, () => list.getByRole('button', { name: 'Take in 2 jobs' }).click());
    await list.waitFor({ state: 'detached' });
    const made = (await jobsOf(page)).find((job) => job.id === 'P-2');
    assert.ok(made && Math.abs(made.at[1] - at[1]) < 1e-6);
    await after(page, () => page.keyboard.press('z'));
  });

  for (const scheme of ['light', 'dark'])
    await check(`a box by keys alone: it is begun, moved, sized, told of, taken and added to, ${scheme}`, { scheme }, async (page) => {
      await still(page);
      await page.locator('.map canvas').focus();
      const at = () => page.evaluate(() => /** @type {any} */ (window.__gangday?.map).getCenter().toArray().join());
      const where = await at();
      await page.keyboard.press('u');
      await page.getByRole('status').filter({ hasText: 'begin it in the middle of the map with an arrow key' }).waitFor();
      await page.keyboard.press('ArrowRight');
      const told = page.getByRole('status').filter({ hasText: /^Box round \d+ jobs?/ });
      await told.waitFor();
      const box = () => page.locator('.glass path').last().evaluate((one) => {
        const { left, top, right, bottom } = one.getBoundingClientRect();
        return { left, top, right, bottom };
      });
      const first = await box();
      for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowLeft');
      for (let i = 0; i < 4; i++) await page.keyboard.press('Shift+ArrowRight');
      const then = await box();
      assert.ok(then.left < first.left - 50 && then.right > first.right + 10, JSON.stringify([first, then]));
      assert.equal(await at(), where, 'the arrows draw and don’t move the map');
      assert.deepEqual(await axe(page), []);
      /** What lies in the box on the screen, by the places of the jobs. */
      const inside = async () => {
        const { left, top, right, bottom } = await box();
        const all = await jobsOf(page);
        return page.evaluate(([all, edge]) => {
          const map = /** @type {any} */ (window.__gangday?.map);
          return all.filter(({ at }) => {
            const { x, y } = map.project(at);
            return x > edge.left && x < edge.right && y > edge.top && y < edge.bottom;
          }).map((one) => one.id).sort();
        }, /** @type {[Placed[], any]} */ ([all, { left, top, right, bottom }]));
      };
      const want = await inside();
      assert.ok(want.length > 1 && want.length < (await jobsOf(page)).length, `${want.length} of all`);
      assert.match(await told.innerText(), new RegExp(`^Box round ${want.length} jobs`));
      await page.keyboard.press('Enter');
      assert.deepEqual((await selected(page)).ids?.toSorted(), want);
      assert.equal(await page.locator('.glass').count(), 0);
      assert.equal(await at(), where, 'what is selected on the map moves nothing');
      await page.keyboard.press('u');
      for (let i = 0; i < 5; i++) await page.keyboard.press('ArrowRight');
      const more = await inside();
      await page.keyboard.press('Shift+Enter');
      assert.deepEqual((await selected(page)).ids?.toSorted(), [...new Set([...want, ...more])].sort());
      await page.keyboard.press('u');
      await page.keyboard.press('ArrowDown');
      await page.keyboard.press('Escape');
      assert.equal(await page.locator('.glass').count(), 0, 'Escape puts it away');
      assert.ok((await selected(page)).ids?.length > 0, 'and leaves what is selected');
      await page.keyboard.press('ArrowRight');
      await still(page);
      assert.notEqual(await at(), where, 'the arrows have the map again');
    });

  await check('a box that is carried past the edge by keys takes the ground with it', {}, async (page) => {
    await still(page);
    const west = () => page.evaluate(() => /** @type {any} */ (window.__gangday?.map).getCenter().lng);
    const before = await west();
    await page.keyboard.press('u');
    for (let i = 0; i < 40; i++) await page.keyboard.press('ArrowLeft');
    assert.ok((await west()) < before);
    const left = await page.locator('.glass path').last().evaluate((one) => one.getBoundingClientRect().left);
    assert.ok(left >= -3, `it stays on the map: ${left}`);
    await page.keyboard.press('Escape');
  });

  await check('a lasso by keys alone selects by its own shape', {}, async (page) => {
    await still(page);
    await page.keyboard.press('y');
    const way = async (/** @type {string} */ key, /** @type {number} */ times) => {
      for (let i = 0; i < times; i++) await page.keyboard.press(key);
    };
    // Half of a box, cut from corner to corner.
    await way('ArrowLeft', 8);
    await page.keyboard.press(' ');
    await way('ArrowRight', 14);
    await page.keyboard.press(' ');
    await way('ArrowDown', 6);
    const ring = await page.locator('.glass path').last().getAttribute('d');
    const spots = [...(ring ?? '').matchAll(/(-?[\d.]+) (-?[\d.]+)/g)].map((match) => [Number(match[1]), Number(match[2])]);
    assert.equal(spots.length, 3);
    const [[x1, y1], [x2], [, y3]] = /** @type {number[][]} */ (spots);
    const all = await jobsOf(page);
    const want = await page.evaluate(([all, x1, y1, x2, y3]) => {
      const map = /** @type {any} */ (window.__gangday?.map);
      return all.filter(({ at }) => {
        const { x, y } = map.project(at);
        const [across, down] = [(x - x1) / (x2 - x1), (y - y1) / (y3 - y1)];
        return across < 1 && down > 0 && down < across;
      }).map((one) => one.id).sort();
    }, /** @type {[Placed[], number, number, number, number]} */ ([all, x1, y1, x2, y3]));
    assert.ok(want.length > 1, String(want.length));
    await page.keyboard.press('Enter');
    assert.deepEqual((await selected(page)).ids?.toSorted(), want);
  });
});

finish(failed);
