// @ts-check
/** The map in a real Chromium: box, lasso, filter, pins, a basemap from a file, a hundred thousand jobs. */
import assert from 'node:assert/strict';
import { sheet, steps } from '../tests/fixture.mjs';
import { many } from '../tests/many.mjs';
import { archive } from '../tests/pmtiles.mjs';
import { mapDrawn, ready, selected } from './browser.mjs';
import { ask } from './driven.mjs';
import { serve } from './fixture-door.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */

/** Where each job that stands free of what lies over the map is on the screen. */
const spots = (/** @type {Page} */ page) =>
  page.evaluate(() => {
    const map = /** @type {any} */ (window.__gangday?.map);
    const all = new Map();
    for (const one of map.queryRenderedFeatures({ layers: ['job'] })) {
      const { x, y } = map.project(one.geometry.coordinates);
      if (document.elementFromPoint(x, y)?.tagName === 'CANVAS') all.set(one.properties.id, { id: one.properties.id, x, y, position: one.properties.position });
    }
    return [...all.values()];
  });

/** Which labels lie in one place, looked for every 8 px, and which jobs in sight have no mark of 8 px around where they are, nor close to their chamber as large as it is. It runs in the page. */
function drawnAt() {
  const map = /** @type {any} */ (window.__gangday?.map);
  const words = ['street-name', 'yard-name', 'closure-hours', 'job-id'].filter((id) => map.getLayer(id));
  const [met, unmarked] = [new Set(), new Set()];
  let labelled = 0;
  for (let x = 4; x < innerWidth; x += 8)
    for (let y = 4; y < innerHeight; y += 8) {
      const here = map.queryRenderedFeatures([x, y], { layers: words }).map((/** @type {any} */ one) => `${one.layer.id} ${one.properties.id ?? one.properties.name ?? one.properties.hours}`);
      labelled += here.length > 0 ? 1 : 0;
      if (new Set(here).size > 1) met.add([...new Set(here)].join(' on '));
    }
  let marked = 0;
  for (const one of map.querySourceFeatures('jobs')) {
    if (one.properties.point_count !== undefined) continue;
    const { x, y } = map.project(one.geometry.coordinates);
    if (x < 10 || y < 10 || x > innerWidth - 10 || y > innerHeight - 10) continue;
    const around = [[-3.5, -3.5], [3.5, -3.5], [-3.5, 3.5], [3.5, 3.5]].every(([dx = 0, dy = 0]) => map.queryRenderedFeatures([x + dx, y + dy], { layers: ['job'] }).some((/** @type {any} */ at) => at.properties.id === one.properties.id));
    const toScale = map.getZoom() >= 19 && map.queryRenderedFeatures([x, y], { layers: ['chamber-fill'] }).some((/** @type {any} */ at) => at.properties.id === one.properties.id);
    if (around || toScale) marked += 1;
    else unmarked.add(one.properties.id);
  }
  return { labelled, marked, met: [...met], unmarked: [...unmarked] };
}

async function roomy(/** @type {Page} */ page) {
  await mapDrawn(page);
  await page.keyboard.press('b');
  await page.waitForTimeout(500);
  await mapDrawn(page);
}

const near = (/** @type {{ x: number, y: number }} */ one, /** @type {{ x: number, y: number }} */ other) => Math.hypot(one.x - other.x, one.y - other.y);

let failed = await suite(async (check) => {
  for (const [name, hold] of /** @type {const} */ ([['with Shift held', true], ['with the tool', false]]))
    await check(`a box ${name} selects what lies in it and nothing else`, {}, async (page) => {
      await roomy(page);
      const all = await spots(page);
      const box = [300, 200, 700, 520];
      if (hold) await page.keyboard.down('Shift');
      else await page.getByRole('button', { name: /^Box/ }).click();
      await page.mouse.move(box[0], box[1]);
      await page.mouse.down();
      await page.mouse.move(500, 300, { steps: 3 });
      await page.mouse.move(box[2], box[3], { steps: 3 });
      await page.mouse.up();
      if (hold) await page.keyboard.up('Shift');
      const inside = all.filter(({ x, y }) => x > box[0] && x < box[2] && y > box[1] && y < box[3]).map((one) => one.id);
      const held = await selected(page);
      assert.equal(held.what, 'jobs');
      assert.ok(inside.length > 3 && inside.every((id) => held.ids.includes(id)), 'everything seen in it is held');
      const outside = all.filter(({ x, y }) => x < box[0] - 2 || x > box[2] + 2 || y < box[1] - 2 || y > box[3] + 2).map((one) => one.id);
      assert.ok(outside.length > 3 && outside.every((id) => !held.ids.includes(id)), 'nothing seen outside is held');
      await page.getByRole('region', { name: 'Selected jobs', exact: true }).getByRole('heading', { name: `${held.ids.length} jobs selected` }).waitFor();
      assert.deepEqual(await axe(page), []);
    });

  await check('a lasso selects by its own shape; Escape puts it away', {}, async (page) => {
    await roomy(page);
    const all = await spots(page);
    await page.keyboard.press('y');
    await page.mouse.move(300, 200);
    await page.mouse.down();
    for (const [x, y] of [[700, 200], [300, 600]]) await page.mouse.move(x, y, { steps: 6 });
    await picture(page, 'lasso');
    await page.mouse.up();
    const held = await selected(page);
    // The triangle is the half of its box in which x - 300 and y - 200 add up to less than 400.
    const inside = all.filter(({ x, y }) => x > 305 && y > 205 && x - 300 + (y - 200) < 390).map((one) => one.id);
    const outside = all.filter(({ x, y }) => x - 300 + (y - 200) > 410).map((one) => one.id);
    assert.ok(inside.length > 1 && inside.every((id) => held.ids.includes(id)));
    assert.ok(outside.length > 1 && outside.every((id) => !held.ids.includes(id)));
    await page.keyboard.press('y');
    await page.keyboard.press('Escape');
    assert.equal(await page.locator('.glass').count(), 0);
  });

  for (const [zoom, words] of /** @type {[number | null, string][]} */ ([[null, 'the whole week'], [13.5, 'a district'], [15.2, 'some streets'], [16.8, 'a street'], [19, 'a chamber']]))
    await check(`no label lies on another, and every job in sight has a mark of 8 px and more, or its chamber to scale: ${words}`, {}, async (page) => {
      await roomy(page);
      await page.evaluate((zoom) => {
        const map = /** @type {any} */ (window.__gangday?.map);
        // In the middle of where most is, that is where labels press one another.
        const at = map.querySourceFeatures('jobs').map((/** @type {any} */ one) => one.geometry.coordinates).toSorted((/** @type {any} */ a, /** @type {any} */ b) => a[0] - b[0]);
        if (zoom !== null) map.jumpTo({ zoom, center: at[Math.floor(at.length / 2)] });
      }, zoom);
      await page.waitForTimeout(700);
      await mapDrawn(page);
      await picture(page, `zoom-${words.replaceAll(' ', '-')}`);
      const { labelled, met, unmarked, marked } = await page.evaluate(drawnAt);
      assert.deepEqual(met, [], 'two labels in one place');
      assert.deepEqual(unmarked, [], 'jobs without a mark');
      assert.ok(marked > 0 && (labelled > 2 || zoom === 19), `${marked} jobs, ${labelled} places with a label`);
    });

  await check('the filter, by mouse and by keyboard, leaves what it names; a selects what is left; k locks them', {}, async (page) => {
    await roomy(page);
    await page.getByRole('button', { name: /^Show all/ }).first().click();
    await page.getByLabel('Carriageway').check();
    await page.waitForFunction(() => /** @type {any} */ (window.__gangday?.map).queryRenderedFeatures({ layers: ['job'] }).every((one) => one.properties.position === 'carriageway'), null, { polling: 100 });
    assert.deepEqual(await axe(page), []);
    await mapDrawn(page);
    await picture(page, 'filter');
    await page.keyboard.press('Escape');
    assert.equal(await page.getByLabel('Carriageway').count(), 0, 'Escape folds it away');
    assert.match(await page.locator('#which-jobs').innerText(), /^\d+ jobs of \d+/);
    await page.locator('#which-jobs').blur();
    await page.keyboard.press('q');
    const filtered = () => page.locator('#which-jobs').innerText();
    const [few, unplanned] = [await filtered(), page.getByLabel('Not planned')];
    await unplanned.focus();
    await page.keyboard.press('Space');
    assert.ok(await unplanned.isChecked());
    await page.waitForFunction((was) => document.getElementById('which-jobs')?.innerText !== was, few, { polling: 50 });
    assert.ok(Number.parseInt(await filtered()) < Number.parseInt(few), `${few}, then ${await filtered()}`);
    await page.keyboard.press('Space');
    await page.waitForFunction((was) => document.getElementById('which-jobs')?.innerText === was, few, { polling: 50 });
    await page.keyboard.press('Escape');
    await page.locator('#which-jobs').blur();
    await page.keyboard.press('a');
    const held = await selected(page);
    assert.equal(held.what, 'jobs');
    assert.ok(held.ids.length > 3);
    const before = await page.evaluate(() => window.__gangday?.edition ?? 0);
    await page.keyboard.press('k');
    await page.waitForFunction((was) => (window.__gangday?.edition ?? 0) > was, before);
    await ready(page);
    assert.ok((await page.getByRole('button', { name: /^Unlock/ }).count()) === 1);
    await page.keyboard.press('z');
    await page.waitForFunction((was) => (window.__gangday?.edition ?? 0) > was + 1, before);
  });

  await check('the pin of the selected job is carried by the mouse and by arrows, and undo brings it back', {}, async (page) => {
    await roomy(page);
    const all = await spots(page);
    const one = all.find((a) => all.every((b) => a === b || near(a, b) > 40));
    assert.ok(one);
    const place = () => page.evaluate((id) => {
      const map = /** @type {any} */ (window.__gangday?.map);
      return map.querySourceFeatures('jobs').find((job) => job.properties.id === id)?.geometry.coordinates;
    }, one.id);
    await page.mouse.click(one.x, one.y);
    assert.equal((await selected(page)).id, one.id);
    const edition = () => page.evaluate(() => window.__gangday?.edition ?? 0);
    let before = await edition();
    await page.mouse.move(one.x, one.y);
    await page.mouse.down();
    await page.mouse.move(one.x + 40, one.y - 20, { steps: 3 });
    const inHand = page.getByText(`${one.id}’s pin is in hand`);
    await inHand.waitFor();
    await page.evaluate(() => window.dispatchEvent(new PointerEvent('pointercancel')));
    await inHand.waitFor({ state: 'detached' });
    await page.mouse.move(one.x + 50, one.y - 30, { steps: 3 });
    await page.mouse.up();
    await ready(page);
    assert.deepEqual([await inHand.count(), await edition()], [0, before], 'a drag that the system takes away changes nothing');
    await page.mouse.click(one.x, one.y);
    await page.mouse.move(one.x, one.y);
    await page.mouse.down();
    await page.mouse.move(one.x + 20, one.y + 12, { steps: 3 });
    await page.mouse.move(one.x + 60, one.y + 30, { steps: 3 });
    await page.mouse.up();
    await page.waitForFunction((was) => (window.__gangday?.edition ?? 0) > was, before);
    await ready(page);
    await mapDrawn(page);
    const there = (await spots(page)).find((job) => job.id === one.id);
    assert.ok(there && near(there, { x: one.x + 60, y: one.y + 30 }) < 3, `it stands where it was put: ${JSON.stringify(there)}`);
    await page.keyboard.press('z');
    await page.waitForFunction((was) => (window.__gangday?.edition ?? 0) > was + 1, before);
    await ready(page);
    await mapDrawn(page);
    const [lon, lat] = await place();
    before = await edition();
    await page.keyboard.press('j');
    for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowUp');
    await picture(page, 'pin');
    await page.keyboard.press('Enter');
    await page.waitForFunction((was) => (window.__gangday?.edition ?? 0) > was, before);
    await ready(page);
    await page.waitForTimeout(500);
    await mapDrawn(page);
    const [lon2, lat2] = await place();
    // 30 m north: a degree of latitude is about 111.2 km. A tile keeps places to some decimetres only.
    assert.ok(Math.abs((lat2 - lat) * 111_195 - 30) < 3 && Math.abs(lon2 - lon) < 3e-5, `${(lat2 - lat) * 111_195} m`);
    await page.keyboard.press('z');
  });

  /** A closure of this kind that has a street across, and a way round where it closes the road, with how the public is led past it. */
  const closed = async (/** @type {Page} */ page, /** @type {string} */ kind) => {
    const plan = /** @type {NonNullable<import('../src/types/gangday').Sheet['plan']>} */ ((await ask(page, { ask: 'sheet' })).sheet.plan);
    for (const one of plan.closures.filter((one) => one.kind === kind && (kind !== 'road' || (one.diversion?.along.length ?? 0) > 0))) {
      const { arrangement } = /** @type {import('../src/types/gangday').ClosureDetail} */ ((await ask(page, { ask: 'closure', job: one.job })).detail);
      if (arrangement.section.length > 0) return { one, led: arrangement };
    }
    return null;
  };
  const find = async (/** @type {Page} */ page, /** @type {string} */ job) => {
    await page.keyboard.press('/');
    await page.keyboard.type(job);
    await page.keyboard.press('Enter');
    await page.waitForFunction((job) => /** @type {any} */ (window.__gangday?.selection)?.id === job, job, { timeout: 20_000, polling: 100 });
    return page.getByRole('region', { name: `Closure of ${job}`, exact: true });
  };

  for (const kind of ['road', 'lane', 'footway'])
    await check(`a closure of the real week, ${kind}: its rule, the street cut across by its figures, the kit and the caution`, {}, async (page) => {
      await mapDrawn(page);
      const found = await closed(page, kind);
      assert.ok(found, 'the invented week has one');
      const { one, led } = found;
      const part = await find(page, one.job);
      for (const words of [led.caution, led.because, led.control_words]) await part.getByText(words, { exact: false }).first().waitFor();
      assert.match(led.caution, /competent person/);
      // The rule that led to the closure stands behind its "why".
      const why = page.locator('.closure details').filter({ hasText: one.words });
      await why.locator('summary').click();
      assert.ok((await why.innerText()).includes(one.because));
      const drawing = part.getByRole('img', { name: new RegExp(`^Street across at ${one.job}: `) });
      const said = [...((await drawing.getAttribute('aria-label')) ?? '').matchAll(/([\d.]+) m(?:,|$)/g)].map((match) => Number(match[1]));
      // As one looks along the line: what lies furthest left first.
      const bands = [...led.section].sort((a, b) => b.to_m - a.to_m).map((band) => band.to_m - band.from_m);
      assert.deepEqual(said, bands.map((metres) => Number(metres.toFixed(2))), `the bands of ${one.job}`);
      const drawn = await drawing.locator('rect:not(.bed)').evaluateAll((all) => all.map((rect) => Number(rect.getAttribute('width'))));
      const whole = bands.reduce((sum, metres) => sum + metres, 0);
      const paper = drawn.reduce((sum, width) => sum + width, 0);
      drawn.forEach((width, i) => assert.ok(Math.abs(width / paper - (bands[i] ?? 0) / whole) < 0.005, `band ${i} is drawn to scale`));
      const rows = await part.locator('.row').evaluateAll((all) => all.map((row) => [...row.querySelectorAll(':scope > span')].map((span) => span.textContent)));
      const shown = (/** @type {string} */ name, /** @type {string} */ figure) => assert.ok(rows.some((row) => row[0] === name && row[1] === figure), `${name} ${figure} in ${JSON.stringify(rows)}`);
      assert.ok(led.kit.length > 0 && (kind !== 'lane' || led.widths.length > 0));
      for (const width of led.widths) shown(`Width of ${width.of}`, width.words);
      for (const line of led.kit) shown(line.name, String(line.count));
      if (one.diversion) await part.getByText(one.diversion.words).waitFor();
      if (kind === 'road') assert.match(one.diversion?.words ?? '', /[\d.]+ k?m longer.*[\d.]+ min/, 'how much farther and longer the way round is');
    });

  await check('a map from a file lies under the works, offline; what is none is refused in words', {}, async (page) => {
    await mapDrawn(page);
    const at = await page.evaluate(() => /** @type {any} */ (window.__gangday?.map).getCenter().toArray());
    await page.context().setOffline(true);
    await page.setInputFiles('#basemap-file', { name: 'made-up.pmtiles', mimeType: 'application/octet-stream', buffer: archive(at) });
    await page.waitForFunction(() => {
      const map = /** @type {any} */ (window.__gangday?.map);
      return map.getLayer('under-water-area') && map.queryRenderedFeatures({ layers: ['under-water-area'] }).length > 0;
    }, null, { polling: 100, timeout: 20_000 });
    const order = await page.evaluate(() => /** @type {any} */ (window.__gangday?.map).getStyle().layers.map((layer) => layer.id));
    assert.ok(order.indexOf('under-roads-line') < order.indexOf('street'), 'it lies under the streets');
    await mapDrawn(page);
    await picture(page, 'basemap');
    // The theme is kept by the desk, which is on this machine.
    await page.context().setOffline(false);
    await page.keyboard.press('t');
    await page.waitForFunction(() => /** @type {any} */ (window.__gangday?.map).getPaintProperty('under-water-area', 'fill-color') === '#12263a', null, { polling: 100 });
    await page.getByRole('button', { name: 'No basemap' }).click();
    await page.waitForFunction(() => !(/** @type {any} */ (window.__gangday?.map).getSource('under')), null, { polling: 100 });
    await page.setInputFiles('#basemap-file', { name: 'no-map.pmtiles', mimeType: 'application/octet-stream', buffer: Buffer.from('this is no map at all'.repeat(40)) });
    await page.getByRole('alert').filter({ hasText: 'no-map.pmtiles is no map' }).waitFor();
  });
});

const door = await serve({ sheet: many(100_000) });
failed += await suite(async (check) => {
  await check('a hundred thousand jobs are drawn as stacks that come apart, and one that is found is shown', {}, async (page) => {
    await mapDrawn(page);
    const count = () => page.evaluate(() => {
      const map = /** @type {any} */ (window.__gangday?.map);
      const stacks = new Map(map.queryRenderedFeatures({ layers: ['stack'] }).map((one) => [one.properties.cluster_id, one.properties.point_count]));
      return { stacks: stacks.size, most: Math.max(0, ...stacks.values()) };
    });
    await picture(page, 'stacks');
    const far = await count();
    assert.ok(far.stacks > 10 && far.most > 100, JSON.stringify(far));
    const spot = await page.evaluate(() => {
      const map = /** @type {any} */ (window.__gangday?.map);
      const free = map.queryRenderedFeatures({ layers: ['stack'] }).map((one) => map.project(one.geometry.coordinates)).find(({ x, y }) => document.elementFromPoint(x, y)?.tagName === 'CANVAS');
      return free && { x: free.x, y: free.y, zoom: map.getZoom() };
    });
    assert.ok(spot);
    await page.mouse.click(spot.x, spot.y);
    await page.waitForFunction((zoom) => /** @type {any} */ (window.__gangday?.map).getZoom() > zoom + 0.5, spot.zoom);
    await page.keyboard.press('/');
    await page.keyboard.type('J-054321');
    await page.keyboard.press('Enter');
    assert.equal((await selected(page)).id, 'J-054321');
    await page.waitForFunction(() => {
      const map = /** @type {any} */ (window.__gangday?.map);
      return map.getZoom() > 17 && map.queryRenderedFeatures({ layers: ['chamber'] }).some((one) => one.properties.id === 'J-054321');
    }, null, { polling: 200 });
  });
}, door.address);
await door.close();

const clashing = sheet({ gangs: 2, days: 1 });
const [first] = clashing.plan?.closures.filter((one) => one.kind !== 'none') ?? [];
assert.ok(first);
const [from, to] = /** @type {[number, number][]} */ ([first.footprint[0], clashing.jobs.at(-1)?.at]);
first.diversion = { along: steps([from, to]), against: [], words: '300 m longer and 0.6 min more by Osier Lane.', cut_off: ['Osier Lane'], addresses: ['12 to 18 Osier Lane'] };
const street = await serve({ sheet: clashing });
failed += await suite(async (check) => {
  await check('the time strip scrubs and plays: the closures and the way round of that time are drawn, each with its control, widths, kit and clash', {}, async (page) => {
    await mapDrawn(page);
    const strip = page.getByRole('slider', { name: 'Time of day' });
    const drawn = (/** @type {string} */ layer) => page.evaluate((layer) => [...new Set(/** @type {any} */ (window.__gangday?.map).queryRenderedFeatures({ layers: [layer] }).map((one) => one.properties.job))].sort(), layer);
    const all = (clashing.plan?.closures ?? []).filter((one) => one.kind !== 'none');
    const standing = (/** @type {number} */ at) => all.filter((one) => one.from <= at && one.to > at).map((one) => one.job).sort();
    const times = all.flatMap((one) => [one.from, one.hold_from, one.to - 5]).map((at) => Math.ceil(at / 5) * 5);
    const shown = [];
    for (const at of new Set([times[0] ?? 480, times[1] ?? 600, ...times.slice(-2)])) {
      await strip.evaluate((input, value) => {
        /** @type {HTMLInputElement} */ (input).value = String(value);
        input.dispatchEvent(new Event('input', { bubbles: true }));
      }, at);
      const set = Number(await strip.inputValue());
      await mapDrawn(page);
      await page.waitForFunction((want) => JSON.stringify([...new Set(/** @type {any} */ (window.__gangday?.map).queryRenderedFeatures({ layers: ['closure-far', 'closure'] }).map((one) => one.properties.job))].sort()) === want, JSON.stringify(standing(set)), { timeout: 20_000, polling: 100 });
      assert.equal((await drawn('diversion')).includes(first.job), standing(set).includes(first.job), `the way round at ${set}`);
      shown.push(standing(set).join());
    }
    assert.ok(new Set(shown).size > 1, 'not the same closures at all times');
    await strip.evaluate((input) => {
      /** @type {HTMLInputElement} */ (input).value = /** @type {HTMLInputElement} */ (input).min;
      input.dispatchEvent(new Event('input', { bubbles: true }));
    });
    const begin = Number(await strip.inputValue());
    await page.getByRole('button', { name: /^Play/ }).click();
    await page.waitForFunction((begin) => Number(/** @type {HTMLInputElement} */ (document.querySelector('input[aria-label="Time of day"]')).value) >= begin + 60, begin, { timeout: 20_000, polling: 100 });
    await page.getByRole('button', { name: /^Stop/ }).click();
    await page.keyboard.press('/');
    await page.keyboard.type(first.job);
    await page.keyboard.press('Enter');
    const notes = page.locator('.notes');
    for (const words of ['Addresses cut off', '12 to 18 Osier Lane', '300 m longer', 'Traffic cone', 'A proposal: a competent person designs and agrees it.'])
      await notes.getByText(words, { exact: false }).first().waitFor();
    await notes.getByText('The closures of jobs J-001 and J-002 stand in Osier Lane.').first().waitFor();
    assert.deepEqual(await axe(page), []);
  });
}, street.address);
await street.close();

finish(failed);
