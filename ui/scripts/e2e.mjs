// @ts-check
/** The sheet in a real Chromium through the loopback door: the main path by mouse and by keyboard, and what it must never do. */
import assert from 'node:assert/strict';
import { mapDrawn, ready, selected } from './browser.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

const failed = await suite(async (check) => {
const mapShows = (page, job) =>
  page.waitForFunction(
    (id) => {
      const map = /** @type {any} */ (window.__gangday?.map);
      return map.getLayer('job-halo') && map.queryRenderedFeatures({ layers: ['job-halo'] }).some((one) => one.properties.id === id);
    },
    job,
    { timeout: 30_000, polling: 200 },
  );

await check('the token leaves the address bar', {}, async (page) => {
  assert.equal(new URL(page.url()).search, '');
});

await check('plan, then a job on the board is selected on the map with its figures', {}, async (page) => {
  await page.getByRole('group', { name: 'Commands' }).getByRole('button', { name: /^Plan\s*p$/ }).click();
  await page.getByRole('region', { name: 'Planning' }).waitFor();
  await page.getByRole('region', { name: 'Planning' }).waitFor({ state: 'detached' });
  await page.getByText(/^The week is planned|; it is kept\.$/).first().waitFor();
  await ready(page);
  const layer = page.locator('[data-piece].work[data-job]').first();
  const job = await layer.getAttribute('data-job');
  await layer.click();
  assert.deepEqual(await selected(page).then((one) => [one.what, one.id]), ['job', job]);
  const notes = page.getByRole('complementary', { name: 'Notes' });
  await notes.getByRole('region', { name: `Job ${job}`, exact: true }).waitFor();
  await notes.getByText(/m³/).first().waitFor();
  await mapShows(page, job);
  assert.ok((await notes.getByRole('button', { name: 'Route' }).getAttribute('aria-pressed')) === 'true', 'the load is that of its route');
  await notes.locator('.ledger li').first().waitFor();
});

await check('a job on the map is selected on the board', {}, async (page) => {
  await mapDrawn(page);
  const spot = await page.evaluate(() => {
    const map = /** @type {any} */ (window.__gangday?.map);
    const free = map.queryRenderedFeatures({ layers: ['job'] }).find((one) => {
      const { x, y } = map.project(one.geometry.coordinates);
      return one.properties.route !== '' && document.elementFromPoint(x, y)?.tagName === 'CANVAS' && map.queryRenderedFeatures([[x - 6, y - 6], [x + 6, y + 6]], { layers: ['job'] }).length === 1;
    });
    return free ? { id: free.properties.id, ...map.project(free.geometry.coordinates) } : null;
  });
  assert.ok(spot, 'some job stands free on the map');
  await page.mouse.click(spot.x, spot.y);
  assert.equal((await selected(page)).id, spot.id);
  assert.ok((await page.locator(`[data-job="${spot.id}"][aria-pressed="true"]`).count()) > 0, 'its layers are pressed');
});

await check('by keyboard alone: day, layer, neighbour, job, let go', {}, async (page) => {
  await page.keyboard.press('1');
  const first = page.locator('[data-piece][tabindex="0"]');
  assert.equal(await first.count(), 1, 'the board is one stop');
  for (let i = 0; i < 60 && !(await page.evaluate(() => document.activeElement?.matches('[data-piece]'))); i++) await page.keyboard.press('Tab');
  const at = () => page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).dataset);
  assert.equal((await at()).piece, '0', 'Tab comes to the board');
  await page.keyboard.press('ArrowDown');
  assert.equal((await at()).piece, '1');
  const before = (await at()).column;
  await page.keyboard.press('ArrowRight');
  assert.notEqual((await at()).column, before);
  while ((await at()).job === undefined) await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Enter');
  assert.equal((await selected(page)).what, 'job');
  await page.keyboard.press('Escape');
  assert.equal((await selected(page)).what, 'nothing');
  await page.keyboard.press('w');
  await page.keyboard.press('/');
  await page.keyboard.type((await page.locator('[data-job]').first().getAttribute('data-job')) ?? '');
  await page.keyboard.press('Enter');
  assert.equal((await selected(page)).what, 'job', 'the find box leads to a job');
});

await check('a job in depth: its cross-section to scale, every quantity with its sources, by mouse and by key', {}, async (page) => {
  await page.keyboard.press('1');
  await page.locator('[data-piece].work[data-job]').first().click();
  const drawing = page.getByRole('img', { name: /^Cross-section of .* depth of the dig \d+ mm/ });
  await drawing.waitFor();
  const spans = await drawing.locator('.dimension').evaluateAll((all) => all.map((one) => {
    const [, mm] = /(\d+) mm$/.exec(one.querySelector('title')?.textContent ?? '') ?? [];
    const box = /** @type {SVGGraphicsElement} */ (one.querySelector('path')).getBBox();
    // Each end has a tick that reaches 3 px past it.
    return [Number(mm), Math.max(box.width, box.height) - 6];
  }));
  assert.ok(spans.length >= 6);
  const [most, px] = spans.sort((a, b) => b[0] - a[0])[0];
  for (const [mm, is] of spans) assert.ok(Math.abs(is - (px / most) * mm) < 0.5, `${mm} mm is drawn ${is} px long`);
  await page.getByRole('button', { name: /How it is worked out/ }).click();
  const sheet = page.getByRole('dialog', { name: /worked out$/ });
  await sheet.getByText('Depth of the dig', { exact: true }).waitFor();
  await picture(page, 'worked-out');
  for (const part of ['Sizes and volumes', 'What it takes', 'Concrete and mortar', 'How long it lasts', 'Vibration']) await sheet.getByRole('heading', { name: part }).waitFor();
  await sheet.getByRole('button', { name: 'Unfold every source' }).click();
  const sources = await sheet.locator('tbody tr').evaluateAll((rows) => rows.map((row) => row.children[2]?.textContent?.trim() ?? ''));
  assert.ok(sources.length > 100 && sources.every((one) => one !== ''), 'every figure has a source');
  await page.keyboard.press('Escape');
  await sheet.waitFor({ state: 'detached' });
  await page.keyboard.press('e');
  await sheet.waitFor();
});

await check('a gang-day tells its loads, its vibration and by when to order', {}, async (page) => {
  await page.keyboard.press('1');
  await page.locator('[data-piece].work[data-job]').first().click();
  const load = page.getByRole('region', { name: 'Load', exact: true });
  for (const heading of ['Carried', 'Vibration', 'Lifting']) await load.getByRole('heading', { name: heading }).waitFor();
  assert.match(await load.innerText(), /A\(8\) \d+\.\d m\/s²/);
  assert.match(await load.innerText(), /\d+ loads?/);
  assert.match(await load.innerText(), /Order (all|what says no other day) by \w{3} \d+ \w{3} · /);
});

await check('closures come and go with the time of day', {}, async (page) => {
  await page.keyboard.press('1');
  const shown = async () => Number.parseInt((await page.locator('.bar > p').innerText()).replace(/^\d\d:\d\d/, ''), 10);
  const all = await shown();
  const slider = page.getByRole('slider', { name: 'Time of day' });
  const first = (await slider.getAttribute('min')) ?? '';
  assert.equal(first, '420', 'the slider begins where the board does, at seven');
  await slider.fill(first);
  assert.equal(await shown(), 0, 'nothing is closed before anybody has left the depot');
  await page.getByRole('slider', { name: 'Time of day' }).fill('660');
  assert.ok((await shown()) > 0 && (await shown()) <= all);
  await page.getByRole('button', { name: 'All day' }).click();
  assert.equal(await shown(), all);
});

await check('what is folded and the theme are remembered', {}, async (page) => {
  await page.keyboard.press('t');
  await page.keyboard.press('b');
  await page.reload();
  await ready(page);
  assert.equal(await page.evaluate(() => document.documentElement.dataset.theme), 'dark');
  assert.equal(await page.locator('[data-piece]').count(), 0);
});

for (const scheme of ['light', 'dark'])
  for (const [name, act] of /** @type {[string, (page: any) => Promise<void>][]} */ ([
    ['week', async () => {}],
    ['day with a job', async (page) => { await page.keyboard.press('1'); await page.locator('[data-piece].work').first().click(); }],
    ['worked out', async (page) => { await page.keyboard.press('1'); await page.locator('[data-piece].work').first().click(); await page.keyboard.press('e'); await page.getByRole('heading', { name: 'Vibration' }).last().waitFor(); await page.getByRole('button', { name: 'Unfold every source' }).click(); }],
    ['keys', async (page) => page.keyboard.press('?')],
    ['open', async (page) => page.keyboard.press('o')],
  ]))
    await check(`axe finds nothing: ${name}, ${scheme}`, { scheme }, async (page) => {
      await act(page);
      assert.deepEqual(await axe(page), []);
    });

for (const [width, height] of [[960, 640], [1024, 700], [1280, 800]])
  await check(`the title block stays whole at ${width} × ${height} with everything unfolded`, { width, height }, async (page) => {
    for (const fold of ['wrong', 'take', 'mind']) if ((await page.locator(`#fold-${fold}`).getAttribute('aria-expanded')) === 'false') await page.locator(`#fold-${fold}`).click();
    const low = await page.locator('.commands button').evaluateAll((all) => all.map((one) => one.getBoundingClientRect().bottom));
    assert.equal(low.length, 15);
    assert.ok(Math.max(...low) <= height, `a command ends at ${Math.max(...low)}`);
    await page.getByRole('region', { name: 'Mind, contents' }).locator('li').last().scrollIntoViewIfNeeded();
  });

await check('0 and w bring the whole programme back onto the map', {}, async (page) => {
  await mapDrawn(page);
  const zoom = () => page.evaluate(() => /** @type {any} */ (window.__gangday?.map).getZoom());
  const whole = await zoom();
  for (const key of ['0', 'w']) {
    await page.locator('[data-piece].work[data-job]').first().click();
    await page.waitForFunction((was) => window.__gangday?.map.getZoom() > was + 0.5, whole);
    await page.keyboard.press(key);
    await page.waitForFunction((was) => Math.abs(window.__gangday?.map.getZoom() - was) < 0.01, whole);
  }
});

await check('a page that is loaded again while the week is planned goes on showing it, and Esc stops it', {}, async (page) => {
  await page.keyboard.press('p');
  await page.getByRole('region', { name: 'Planning' }).waitFor();
  await page.reload();
  await page.getByRole('region', { name: 'Planning' }).waitFor();
  assert.match(await page.evaluate(() => document.activeElement?.textContent ?? ''), /Stop and keep the best/);
  await mapDrawn(page);
  await picture(page, 'planning');
  await page.keyboard.press('Escape');
  await page.getByRole('region', { name: 'Planning' }).waitFor({ state: 'detached' });
  await ready(page);
});

for (const [width, height] of [[960, 640], [1280, 800], [1920, 1080], [3840, 2160]])
  await check(`nothing runs out of the sheet at ${width} × ${height}`, { width, height }, async (page) => {
    // In a small window the columns of the board scroll in their field; nothing else may.
    const held = width < 1280 ? '.notes, .bar, .commands, .board header' : '.field, .notes, .bar, .commands, .board header';
    const out = await page.evaluate((which) =>
      [document.documentElement, ...document.querySelectorAll(which)]
        .filter((one) => one.scrollWidth > one.clientWidth + 1)
        .map((one) => `${one.className} ${one.scrollWidth} > ${one.clientWidth}`),
    held);
    assert.deepEqual(out, []);
  });
});

finish(failed);
