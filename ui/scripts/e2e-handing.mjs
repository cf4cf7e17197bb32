// @ts-check
/** What is handed out: issues that stay, sheets that say which issue they are, the better week kept, and what is long seen and stopped. */
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdtemp, readFile, rename, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, ask, drop, edition, ROOT } from './driven.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */

const said = (/** @type {Page} */ page, /** @type {RegExp} */ words) => page.getByText(words).first().waitFor({ timeout: 60_000 });
/** A list of so many chambers near the middle of the programme; row 5,000 of them, from 0, is at fault, the next lies where one of before does, row 7,000 has a word of theirs. */
const long = async (/** @type {Page} */ page, /** @type {number} */ rows) => {
  const [lon, lat] = await page.evaluate(() => /** @type {any} */ (window.__gangday?.map).getCenter().toArray());
  const at = (/** @type {number} */ row) => `${(lon + 0.02 + (row % 100) * 1e-5).toFixed(6)},${(lat + Math.floor(row / 100) * 1e-5).toFixed(6)}`;
  const line = (/** @type {number} */ row) => `L${row},${at(row === 5001 ? 1 : row)},${row === 7000 ? 'rehang' : 'new'},footway,${row === 5000 ? 'two' : 2}`;
  const lines = Array.from({ length: rows }, (_, row) => line(row));
  return ['id,lon,lat,work,position,sections', ...lines].join('\n');
};
/** Puts right what stands far down in the long list, each under its own kind. */
const putRight = async (/** @type {Page} */ page, /** @type {import('playwright-core').Locator} */ sheet) => {
  await sheet.getByText('2,003 of 12,000 are shown').waitFor();
  await sheet.getByRole('button', { name: '△ Near another 1', exact: true }).click();
  await sheet.getByText(/near row 2 of the list, the same place/).waitFor();
  assert.equal(await sheet.locator('tbody tr').count(), 1);
  await sheet.getByRole('button', { name: '✕ At fault 2', exact: true }).click();
  assert.deepEqual(await sheet.locator('tbody tr').evaluateAll((all) => all.map((one) => one.getAttribute('data-row'))), ['5000', '7000']);
  await picture(page, 'far-down');
  await sheet.getByLabel(/“rehang”/).selectOption('replace');
  await sheet.getByRole('button', { name: '✕ At fault 1', exact: true }).waitFor({ timeout: 120_000 });
  await sheet.getByRole('textbox', { name: 'sections, row 5001' }).fill('2');
  await page.keyboard.press('Tab');
  await sheet.getByRole('button', { name: '✕ At fault 0', exact: true }).waitFor({ timeout: 120_000 });
  await sheet.getByRole('button', { name: 'All rows 12,000', exact: true }).click();
};
const place = await mkdtemp(join(tmpdir(), 'gangday-handing-'));
const ISSUED = /Issue 1, [A-Z][a-z]{2} \d{1,2} [A-Z][a-z]{2} \d{4}/;

let failed = await suite(async (check) => {
  for (const scheme of ['light', 'dark'])
    await check(`planning that is stopped at once leaves no worse week, and says which is kept, ${scheme}`, { scheme }, async (page) => {
      const total = async () => (await ask(page, { ask: 'sheet' })).sheet.plan.costs.at(-1).pence;
      const [before, cost] = [await edition(page), await total()];
      await page.keyboard.press('p');
      await page.getByRole('button', { name: /^Stop and keep the best/ }).click();
      const words = page.getByText(/The week as it was is (better by £[\d,.]+|as good); it is kept\.|the best plan found so far is on the desk|^The week is planned/);
      await words.first().waitFor({ timeout: 60_000 });
      await picture(page, `kept-${scheme}`);
      if (/it is kept/.test(await words.first().innerText())) assert.equal(await edition(page), before, 'nothing was changed');
      else assert.ok((await total()) < cost, 'it took the place of a dearer one');
    });

  await check('the whole pack is written as one file, and every sheet says that it is a draft', {}, async (page) => {
    const download = page.waitForEvent('download');
    await page.keyboard.press('P');
    const file = await download;
    assert.equal(file.suggestedFilename(), 'Pack, draft.zip');
    const at = join(place, 'draft.zip');
    await file.saveAs(at);
    const names = execFileSync('python3', ['-m', 'zipfile', '-l', at], { encoding: 'utf8' });
    assert.match(names, /works\.html/);
    assert.match(names, /order-01-/);
    assert.match(names, /gang-01-/);
    await said(page, /The pack is written: Pack, draft\.zip/);
    execFileSync('python3', ['-m', 'zipfile', '-e', at, join(place, 'draft')]);
    assert.match(await readFile(join(place, 'draft/works.html'), 'utf8'), /<dd>Draft<\/dd>/);
  });

  await check('a second page on the same desk is shown what the first has done, once somebody comes back to it', {}, async (page) => {
    const token = await page.evaluate(() => sessionStorage.getItem('gangday-token'));
    const second = await page.context().newPage();
    await second.goto(`${new URL(page.url()).origin}/?token=${token}`);
    await second.waitForFunction(() => window.__gangday?.ready === true);
    const before = await edition(second);
    await page.bringToFront();
    await page.locator('[data-piece].work[data-job]').first().click();
    await after(page, () => page.keyboard.press('k'));
    assert.equal(await edition(second), before, 'nobody has looked yet');
    await second.bringToFront();
    await second.evaluate(() => window.dispatchEvent(new Event('focus')));
    await said(second, /The programme was changed in another page; it is shown as it is now\./);
    assert.equal(await edition(second), await edition(page));
    await after(second, () => second.keyboard.press('z'));
    await page.bringToFront();
    await page.evaluate(() => window.dispatchEvent(new Event('focus')));
    await said(page, /The programme was changed in another page/);
    assert.equal(await edition(page), await edition(second));
    await second.close();
  });

  await check('a pack that is stopped gives no file', { refusals: true }, async (page) => {
    let given = 0;
    page.on('download', () => (given += 1));
    // A pack of this week takes a quarter of a second: the button is pressed as soon as it is there, and where that was too late, another pack is begun.
    for (let tries = 0, stopped = false; !stopped; tries++) {
      assert.ok(tries < 12, 'one of them is stopped in time');
      await page.evaluate(() => {
        const watch = new MutationObserver(() => {
          const stop = [...document.querySelectorAll('button')].find((one) => one.textContent?.startsWith('Stop, change nothing'));
          if (stop === undefined) return;
          watch.disconnect();
          stop.click();
        });
        watch.observe(document.body, { subtree: true, childList: true });
      });
      const before = given;
      await page.keyboard.press('P');
      const words = page.getByText(/^(Stopped; nothing of the pack was kept\.|The pack is written: .*)$/);
      await page.waitForTimeout(100);
      await words.first().waitFor({ timeout: 60_000 });
      const over = async () => (await words.first().innerText()).startsWith('Stopped');
      stopped = await over();
      // The words of the try before may stand still, and a file is told of a moment after the words.
      for (let waits = 0; waits < 100 && !stopped && given === before; waits++) {
        await page.waitForTimeout(100);
        stopped = await over();
      }
      assert.equal(given - before, stopped ? 0 : 1);
      await page.keyboard.press('Escape');
    }
  });

  for (const scheme of ['light', 'dark'])
    await check(`a long list says how far it is and can be stopped, ${scheme}`, { scheme, refusals: true }, async (page) => {
      const before = await edition(page);
      const sheet = page.getByRole('dialog', { name: 'Take in long.csv' });
      // One that takes some seconds to look at.
      await drop(page, 'longer.csv', await long(page, 60_000));
      await page.getByRole('region', { name: 'Looking at the list' }).getByText(/^Row [\d,]+ of 60,000 /).waitFor({ timeout: 60_000 });
      await picture(page, `looking-${scheme}`);
      await page.keyboard.press('Escape');
      await said(page, /Stopped; nothing of the list was taken in\./);
      assert.equal(await page.getByRole('dialog').count(), 0);
      await drop(page, 'long.csv', await long(page, 12_000));
      await sheet.waitFor({ timeout: 120_000 });
      await putRight(page, sheet);
      await sheet.getByRole('button', { name: 'Take in 12,000 jobs' }).click();
      await sheet.locator('.foot').getByText(/ of 12,000 /).waitFor({ timeout: 60_000 });
      await picture(page, `taking-${scheme}`);
      await sheet.getByRole('button', { name: 'Stop, change nothing' }).click();
      await sheet.getByText('Stopped; nothing of the list was taken in.').waitFor({ timeout: 60_000 });
      await picture(page, `stopped-${scheme}`);
      assert.equal(await edition(page), before);
      assert.deepEqual(await axe(page), []);
    });

  await check('of a kind of which a list has more rows than are shown, more can be shown', {}, async (page) => {
    const [lon, lat] = (await ask(page, { ask: 'sheet' })).sheet.jobs[0].at;
    const lines = Array.from({ length: 3_400 }, (_, row) => `L${row},${row < 2200 ? lon + 0.02 + row * 1e-5 : lon},${lat},new,footway,2`);
    await drop(page, 'near.csv', ['id,lon,lat,work,position,sections', ...lines].join('\n'));
    const sheet = page.getByRole('dialog', { name: 'Take in near.csv' });
    await sheet.getByRole('button', { name: '△ Near another 1,200', exact: true }).click({ timeout: 60_000 });
    await sheet.getByText('the first 500 of 1,200 are shown; the others count as any row').waitFor();
    await picture(page, 'near');
    const more = sheet.getByRole('button', { name: 'Show more' });
    await more.click();
    await sheet.getByText('the first 1,000 of 1,200 are shown').waitFor();
    await more.click();
    await sheet.getByText('Rows 1–100 of 1,200').waitFor();
    assert.equal(await more.count(), 0);
    await sheet.getByRole('checkbox', { name: 'Take in all that are shown' }).uncheck();
    await sheet.getByRole('button', { name: 'Take in 2,200 jobs' }).waitFor();
    assert.deepEqual(await axe(page), []);
  });

  for (const scheme of ['light', 'dark'])
    await check(`a map extract that is sent says how far it is, is stopped, and comes in after all, ${scheme}`, { scheme }, async (page) => {
      const file = join(ROOT, '.tools/extracts/helsinki.osm.pbf');
      const streets = async () => (await ask(page, { ask: 'sheet' })).sheet.streets.length;
      const own = await streets();
      const choose = (/** @type {string[]} */ files) => page.locator('#import-list').setInputFiles(files);
      // This one takes half a second: Escape is pressed as soon as something is said of it, and where that was too late it is taken back and tried again.
      for (let tries = 0, stopped = false; !stopped; tries++) {
        assert.ok(tries < 12, 'one of them is stopped in time');
        await page.evaluate(() => {
          const watch = new MutationObserver(() => {
            const words = document.querySelector('section[aria-label="Adding streets"] [role=status]')?.textContent;
            if (!words) return;
            watch.disconnect();
            document.body.dataset['words'] = words;
            document.activeElement?.dispatchEvent(new KeyboardEvent('keydown', { key: 'Escape', bubbles: true, cancelable: true }));
          });
          watch.observe(document.body, { subtree: true, childList: true, characterData: true });
        });
        await choose([]);
        await choose([file]);
        const came = page.getByText(/^(Stopped; nothing of the map extract was taken in\.|\d+ streets added from helsinki\.osm\.pbf)/).first();
        await came.waitFor({ timeout: 60_000 });
        stopped = (await came.innerText()).startsWith('Stopped');
        if (!stopped) await after(page, () => page.keyboard.press('z'));
      }
      assert.match((await page.evaluate(() => document.body.dataset['words'])) ?? '', /^(Reading the map extract|Putting its streets beside your own|Writing its roads down|Making the roads ready)$/);
      await page.getByRole('region', { name: 'Adding streets' }).waitFor({ state: 'detached' });
      assert.equal(await streets(), own, 'nothing was changed');
      await choose([]);
      await after(page, () => choose([file]));
      await said(page, /\d+ streets added from helsinki\.osm\.pbf/);
      await picture(page, `added-${scheme}`);
      assert.ok((await streets()) > own);
      await after(page, () => page.keyboard.press('z'));
      assert.equal(await streets(), own);
    });

  for (const scheme of ['light', 'dark'])
    await check(`what is wrong with a file has its code, which says what it means, ${scheme}`, { scheme, refusals: true }, async (page) => {
      const path = join(place, `week-${scheme}.gpkg`);
      const field = page.getByRole('dialog').getByRole('textbox').first();
      await page.keyboard.press('S');
      await field.fill(path);
      await page.keyboard.press('Enter');
      await said(page, /Saved in /);
      // Moved while it is open: the next change is refused.
      await rename(path, join(place, `away-${scheme}.gpkg`));
      await page.locator('[data-piece].work[data-job]').first().click();
      await page.keyboard.press('k');
      const moved = page.getByRole('button', { name: 'F-MOVED: what it means' });
      await moved.waitFor();
      assert.equal(await page.getByText('was moved, renamed or replaced').count(), 1, 'it is said once');
      await moved.click();
      await page.getByText('The programme file was moved, renamed or replaced while it was open.', { exact: true }).waitFor();
      assert.deepEqual(await axe(page), []);
    });
}, ['--demo']);

failed += await suite(async (check) => {
    await check('what is issued stays whatever is undone, and its number is not used again', {}, async (page) => {
      await page.keyboard.press('v');
      const sheet = page.getByRole('dialog', { name: 'Plans' });
      await after(page, () => sheet.getByRole('button', { name: 'Issue plan 1' }).click());
      await sheet.getByText('The plan on the desk is issue 1').waitFor();
      await picture(page, 'issued');
      await page.keyboard.press('Escape');
      const download = page.waitForEvent('download');
      await page.keyboard.press('c');
      await (await download).saveAs(join(place, 'works.html'));
      assert.ok((await readFile(join(place, 'works.html'), 'utf8')).match(ISSUED));
      await page.locator('[data-piece].work[data-job]').first().click();
      await after(page, () => page.keyboard.press('k'));
      await after(page, () => page.keyboard.press('z'));
      await page.keyboard.press('v');
      await sheet.getByRole('region', { name: 'Issued' }).waitFor();
      await sheet.getByRole('button', { name: 'Issue plan 2' }).waitFor();
      assert.equal(await sheet.getByRole('listitem').filter({ hasText: 'on the desk' }).count(), 1);
    });
}, ['--demo']);

await rm(place, { recursive: true, force: true });
finish(failed);
