// @ts-check
/** At home in the window: accessible in each panel, files dropped and remembered, undo after close, and the first minutes. */
import assert from 'node:assert/strict';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { mapDrawn, ready, selected } from './browser.mjs';
import { ask, changed, drop, edition, firstJob } from './driven.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */

/** Opens the small week in the sheet that is open, letting go of what the checks before have changed, if they were run. */
async function openSmall(/** @type {Page} */ page) {
  await page.getByRole('button', { name: 'Open the small week' }).click();
  const [allTheSame, open] = [page.getByRole('button', { name: 'Open all the same' }), page.getByText('The demo week is open.')];
  await allTheSame.or(open).first().waitFor();
  if (await allTheSame.isVisible()) await allTheSame.click();
  await open.waitFor();
}

/** Waits until what the page keeps with the program is so. */
async function kept(/** @type {Page} */ page, /** @type {(settings: any) => boolean} */ so) {
  for (let tries = 0; tries < 200; tries++) {
    const told = await ask(page, { ask: 'settings' });
    if (so(told.values)) return;
    await page.waitForTimeout(50);
  }
  assert.fail('it was never kept');
}

/** A list of one job in the middle of the programme. */
const oneJob = async (/** @type {Page} */ page, /** @type {string} */ id, /** @type {number} */ clear) => {
  const where = await page.evaluate(() => /** @type {any} */ (window.__gangday?.map).getCenter().toArray());
  const properties = { id, work: 'new', position: 'footway', clear_length_mm: clear, clear_width_mm: 600, sections: 4 };
  return JSON.stringify({ type: 'FeatureCollection', features: [{ type: 'Feature', id, properties, geometry: { type: 'Point', coordinates: where } }] });
};

const place = await mkdtemp(join(tmpdir(), 'gangday-e2e-'));
const file = join(place, 'week.gpkg');
let taken = '';

/** Of which states a picture is kept. */
const KEPT = ['street', 'a code explained', 'a refusal', 'the largest text', 'a box by keys'];

let failed = await suite(async (check) => {
  for (const scheme of ['light', 'dark'])
    for (const [name, act] of /** @type {[string, (page: Page) => Promise<void>][]} */ ([
      ['plans', async (page) => page.keyboard.press('v')],
      ['which jobs', async (page) => page.keyboard.press('q')],
      ['several jobs', async (page) => { await mapDrawn(page); await page.keyboard.press('a'); await page.getByRole('region', { name: 'Selected jobs', exact: true }).waitFor(); }],
      ['what a job states', async (page) => { await firstJob(page).click(); await page.getByRole('button', { name: 'Change what it states' }).click(); await page.getByLabel('Sections', { exact: true }).waitFor(); }],
      ['a stage being recorded', async (page) => { await firstJob(page).click(); await page.getByRole('button', { name: /record as done$/ }).first().click(); }],
      ['street', async (page) => { await page.keyboard.press('d'); }],
      ['a code explained', async (page) => { await page.getByRole('button', { name: /: what it means$/ }).first().click(); }],
      ['a refusal', async (page) => { await drop(page, 'tune.mp3', 'no list'); await page.getByRole('alert').waitFor(); }],
      ['the largest text', async (page) => { for (let i = 0; i < 4; i++) await page.keyboard.press('+'); await page.keyboard.press('1'); }],
      ['a place to save in', async (page) => { await page.keyboard.press('S'); await page.getByRole('dialog').waitFor(); }],
      ['the keys', async (page) => { await page.keyboard.press('?'); await page.getByRole('dialog', { name: 'Keys and marks' }).waitFor(); }],
      ['a pin in hand', async (page) => { await mapDrawn(page); await firstJob(page).click(); await page.keyboard.press('j'); await page.keyboard.press('ArrowUp'); }],
      ['a works area being drawn', async (page) => { await mapDrawn(page); await firstJob(page).click(); await page.keyboard.press('A'); for (const key of ['ArrowUp', ' ', 'ArrowRight', ' ', 'ArrowDown']) await page.keyboard.press(key); }],
      ['a box by keys', async (page) => { await mapDrawn(page); await page.keyboard.press('u'); await page.keyboard.press('Shift+ArrowRight'); }],
      ['a lasso by keys', async (page) => { await mapDrawn(page); await page.keyboard.press('y'); await page.keyboard.press('ArrowRight'); }],
      ['everything folded', async (page) => { await page.keyboard.press('n'); await page.keyboard.press('b'); await page.keyboard.press('q'); }],
    ]))
      await check(`axe finds nothing: ${name}, ${scheme}`, { scheme }, async (page) => {
        await act(page);
        await page.waitForTimeout(200);
        assert.deepEqual(await axe(page), []);
        if (scheme === 'light' && KEPT.includes(name)) await picture(page, name.replaceAll(' ', '-'));
      });

  await check('the text grows by a key, stays so, and the title block stays whole', {}, async (page) => {
    const size = () => page.evaluate(() => Number.parseFloat(getComputedStyle(document.documentElement).fontSize));
    const plain = await size();
    await page.keyboard.press('+');
    await page.keyboard.press('+');
    assert.ok(Math.abs((await size()) / plain - 1.3) < 0.01);
    await kept(page, (settings) => settings.desk?.text === 2);
    await page.reload();
    await ready(page);
    assert.ok(Math.abs((await size()) / plain - 1.3) < 0.01, 'it is remembered');
    const low = await page.locator('.commands button').evaluateAll((all) => all.map((one) => one.getBoundingClientRect().bottom));
    assert.ok(Math.max(...low) <= 800, `a command ends at ${Math.max(...low)}`);
    await page.keyboard.press('-');
    assert.ok(Math.abs((await size()) / plain - 1.15) < 0.01);
  });

  for (const by of ['mouse', 'keyboard'])
    await check(`letters by themselves are turned off by ${by}, and stay so until they are turned on again`, {}, async (page) => {
      const [keys, words] = [page.getByRole('button', { name: /^Keys/ }), page.getByLabel('Letters, figures and signs by themselves are keys')];
      const turn = async () => {
        if (by === 'mouse') {
          await keys.click();
          await words.click();
        } else {
          await keys.focus();
          await page.keyboard.press('Enter');
          await words.focus();
          await page.keyboard.press('Space');
        }
        await page.keyboard.press('Escape');
        await page.getByRole('dialog').waitFor({ state: 'detached' });
      };
      await turn();
      await kept(page, (settings) => settings.desk?.letters === false);
      await page.reload();
      await ready(page);
      for (const key of ['v', 't', '?', '+']) await page.keyboard.press(key);
      await page.waitForTimeout(300);
      assert.equal(await page.getByRole('dialog').count(), 0);
      assert.equal(await page.locator('[aria-keyshortcuts]').count(), 0, 'none is promised');
      await turn();
      await page.keyboard.press('v');
      await page.getByRole('dialog', { name: 'Plans' }).waitFor();
    });

  for (const [motion, still] of /** @type {const} */ ([['reduce', true], ['no-preference', false]]))
    await check(`the map ${still ? 'jumps' : 'glides'} where motion is ${motion}`, { motion }, async (page) => {
      await mapDrawn(page);
      const moving = await page.evaluate(() => {
        document.querySelector(/** @type {any} */ ('[data-piece].work[data-job]')).click();
        // What follows from the click is done before the next frame.
        return new Promise((told) => setTimeout(() => told(/** @type {any} */ (window.__gangday?.map).isMoving()), 0));
      });
      assert.equal(moving, !still);
    });

  await check('every key in the list of keys is said once, and every button in the commands names its key', {}, async (page) => {
    await page.keyboard.press('?');
    const keys = await page.getByRole('dialog').locator('dt').allInnerTexts();
    assert.ok(keys.length > 30);
    assert.equal(new Set(keys).size, keys.length, 'no key has two meanings');
    await page.keyboard.press('Escape');
    const commands = await page.getByRole('group', { name: 'Commands', exact: true }).getByRole('button').evaluateAll((all) => all.map((one) => [one.querySelector('kbd')?.textContent ?? '', one.getAttribute('aria-keyshortcuts') ?? '']));
    assert.ok(commands.length > 10);
    for (const [seen = '', told = ''] of commands) {
      assert.ok(keys.includes(seen), `${seen} is in the list`);
      assert.equal(told, seen === '+' ? 'Plus' : seen.replace(/^⇧ (.)$/, (_, letter) => `Shift+${letter.toUpperCase()}`));
    }
  });

  await check('a list that is dropped on the window is taken in, and what is none is refused in words', {}, async (page) => {
    const before = await edition(page);
    await drop(page, 'more.geojson', await oneJob(page, 'NEW-1', 600));
    await page.getByRole('button', { name: 'Take in 1 job', exact: true }).click();
    await page.getByText('1 job taken in from more.geojson').waitFor();
    await changed(page, before);
    // What is read of the new job comes before it is taken back.
    await page.getByRole('img', { name: 'Cross-section of NEW-1' }).waitFor();
    await page.keyboard.press('Escape');
    await page.keyboard.press('z');
    await changed(page, before + 1);
    await drop(page, 'song.mp3', 'x');
    await page.getByRole('alert').filter({ hasText: 'song.mp3 is of no kind that can be brought in' }).waitFor();
    await page.keyboard.press('Escape');
    await drop(page, 'photo.jpg', 'x');
    await page.getByRole('alert').filter({ hasText: 'Select a job first; then photo.jpg can be kept with it' }).waitFor();
  });

  await check('a finding leads to the field that mends it; the field is changed by keyboard and taken back', {}, async (page) => {
    await drop(page, 'odd.geojson', await oneJob(page, 'ODD-1', 5000));
    await page.getByRole('button', { name: 'Take in 1 job', exact: true }).click();
    await page.getByText('1 job taken in from odd.geojson').waitFor();
    await page.keyboard.press('Escape');
    const lead = page.locator('.finding button').filter({ hasText: /^ODD-1, / }).first();
    await lead.focus();
    await page.keyboard.press('Enter');
    assert.equal((await selected(page)).id, 'ODD-1');
    await page.waitForFunction(() => document.activeElement?.id.startsWith('field-'));
    const field = page.locator(':focus');
    const was = await field.inputValue();
    const before = await edition(page);
    await field.fill('900');
    await page.keyboard.press('Tab');
    await changed(page, before);
    assert.equal(await page.locator('.finding button').filter({ hasText: /^ODD-1, clear length/ }).count(), 0, 'it is mended');
    await page.locator('#field-sections').fill('four');
    await page.keyboard.press('Tab');
    await page.getByRole('alert').filter({ hasText: 'write a whole number' }).waitFor();
    assert.equal(was, '5000');
    await page.keyboard.press('Escape');
  });

  await check('a code says what it means', {}, async (page) => {
    const code = page.getByRole('button', { name: /: what it means$/ }).first();
    await code.click();
    assert.ok((await page.locator('.meaning').first().innerText()).length > 20);
  });

  await check('saved in one file, it is among those opened last; edits go on being kept', {}, async (page) => {
    await page.keyboard.press('o');
    await openSmall(page);
    await page.keyboard.press('S');
    await page.getByRole('textbox', { name: /on this machine/ }).fill(file);
    await page.keyboard.press('Enter');
    await page.getByText(`Saved in ${file}`).waitFor();
    await page.keyboard.press('o');
    await page.getByRole('dialog').getByRole('button', { name: file, exact: true }).waitFor();
    assert.deepEqual(await axe(page), []);
    await page.keyboard.press('Escape');
    taken = (await firstJob(page).getAttribute('data-job')) ?? '';
    const before = await edition(page);
    await firstJob(page).click();
    await page.keyboard.press('k');
    await changed(page, before);
    await page.keyboard.press('v');
    const plans = page.getByRole('dialog', { name: 'Plans' });
    const issue = plans.getByRole('button', { name: 'Issue plan 1' });
    if (await issue.isEnabled()) {
      await issue.click();
      await plans.getByText(/^The plan on the desk is issue 1/).waitFor();
    }
    await page.keyboard.press('Escape');
  });
});

// Another program, later: the file has what was done, and it can still be taken back.
failed += await suite(async (check) => {
  await check('what was done can be taken back after the program was closed and opened again', {}, async (page) => {
    const label = () => page.locator(`[data-piece].work[data-job="${taken}"]`).first().getAttribute('aria-label');
    assert.match((await label()) ?? '', /, locked$/);
    for (let i = 0; i < 3 && /, locked$/.test((await label()) ?? ''); i++) {
      const before = await edition(page);
      await page.keyboard.press('z');
      await changed(page, before);
    }
    assert.doesNotMatch((await label()) ?? '', /locked/);
    const before = await edition(page);
    await page.keyboard.press('Z');
    await changed(page, before);
    assert.match((await label()) ?? '', /, locked$/);
  });
}, [file]);

const fresh = await mkdtemp(join(tmpdir(), 'gangday-e2e-'));
failed += await suite(async (check) => {
  for (const scheme of ['light', 'dark'])
    await check(`an empty programme says what to do next, ${scheme}`, { scheme }, async (page) => {
      await page.getByRole('heading', { name: 'No week is planned yet' }).waitFor();
      await page.locator('.unplanned').getByRole('button', { name: /^Take in a list/ }).waitFor();
      assert.match(await page.locator('.unplanned').innerText(), /gang/);
      assert.deepEqual(await axe(page), []);
    });
  await check('by keyboard alone: a gang and a tip are put to an empty programme, changed, and taken away', { refusals: true }, async (page) => {
    await mapDrawn(page);
    const sheet = page.getByRole('dialog', { name: 'Gangs and tips' });
    await page.keyboard.press('D');
    assert.deepEqual(await axe(page), []);
    await sheet.getByRole('button', { name: 'Add a gang' }).press('Enter');
    await page.getByText('The depot of a new gang is in hand').waitFor();
    await page.keyboard.press('ArrowUp');
    let before = await edition(page);
    await page.keyboard.press('Enter');
    await changed(page, before);
    await sheet.getByLabel('G1: Name').waitFor();
    assert.deepEqual(await axe(page), []);
    for (const [label, typed, stated] of [['G1: Name', 'Wren’s gang', 'Wren’s gang'], ['G1: Payload, kg', '7,500', '7500'], ['G1: shift ends', '15:30', '15:30'], ['G1: Tickets held', 'street works, confined space', 'street works, confined space']]) {
      before = await edition(page);
      const field = sheet.getByLabel(label ?? '');
      await field.fill(typed ?? '');
      await field.press('Tab');
      await changed(page, before);
      await page.waitForFunction(([label, stated]) => /** @type {HTMLInputElement} */ (document.querySelector(`[aria-label="${label}"]`)).value === stated, [label, stated]);
    }
    const people = sheet.getByLabel('G1: People');
    await people.fill('none');
    await people.press('Tab');
    await sheet.getByRole('alert').waitFor();
    assert.equal(await people.inputValue(), 'none', 'what can’t be is refused, and stays where it was typed');
    assert.deepEqual([await people.getAttribute('aria-invalid'), await axe(page)], ['true', []]);
    await people.fill('2');
    await people.press('Tab');
    await sheet.getByRole('alert').waitFor({ state: 'detached' });
    assert.equal(await people.getAttribute('aria-invalid'), 'false');
    await sheet.getByRole('button', { name: 'Add a tip' }).press('Enter');
    before = await edition(page);
    await page.keyboard.press('Enter');
    await changed(page, before);
    before = await edition(page);
    await sheet.getByRole('button', { name: 'Take away T1' }).press('Enter');
    await changed(page, before);
    assert.equal(await sheet.getByLabel('T1: Name').count(), 0);
    await page.keyboard.press('Escape');
    await page.getByText('✓ 1 gang').waitFor();
  });
  await check('the demo week is opened, changed and thrown away', {}, async (page) => {
    await page.keyboard.press('o');
    await openSmall(page);
    const before = await edition(page);
    await firstJob(page).click();
    await page.keyboard.press('k');
    await changed(page, before);
    await page.keyboard.press('o');
    await page.getByRole('textbox', { name: /on this machine/ }).fill(fresh);
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Open all the same' }).press('Enter');
    await page.getByRole('heading', { name: 'No week is planned yet' }).waitFor();
  });
}, [fresh]);

await rm(place, { recursive: true });
await rm(fresh, { recursive: true });
finish(failed);
