// @ts-check
/** Files as they come: damaged, read-only, moved, taken, newer; what would be lost by opening another; what is kept between two starts. */
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { cp, mkdir, mkdtemp, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { launch, openPage, ready } from './browser.mjs';
import { after, ask, askAt, firstJob, gangday, lockFirst, openPath, ROOT, shot, titled } from './driven.mjs';
import { axe, finish, suite } from './harness.mjs';
import { barred, damaged, fillable } from './made.mjs';
import { start } from './program.mjs';

/** @typedef {import('playwright-core').Page} Page */

/** Pictures show a place as a supervisor has one, where it can be made; nothing that was there is touched. */
async function somewhere() {
  const tidy = '/srv/programmes';
  if (process.env.SHOTS && (await mkdir(tidy).then(() => true, () => false))) return tidy;
  return mkdtemp(join(tmpdir(), 'gangday-files-'));
}

const place = await somewhere();
const at = (/** @type {string[]} */ ...names) => join(place, ...names);
const small = join(ROOT, 'sample-data/small-week');

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
      assert.deepEqual(await axe(page), []);
      await titled(page, 'Can only be read');
      await notice.getByRole('button', { name: 'I have read it' }).click();
      assert.match(await page.getByRole('region', { name: 'Put right, contents' }).locator('li').first().innerText(), /may not be written to/);
      await page.keyboard.press('W');
      const days = page.getByRole('dialog', { name: 'The week' }).getByLabel('How long, weekends counted');
      await days.fill('6');
      await days.press('Tab');
      await page.getByRole('alert').filter({ hasText: 'may not be written to' }).waitFor();
      await shot(page, 'readonly-edit');
      assert.deepEqual(await axe(page), []);
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

  await check('a disk that is full is said, with what its code means; what was done before is all there, is saved elsewhere, and goes on', { refusals: true }, async (page) => {
    const { mounted, fill, free } = await fillable(at('full'));
    try {
      if (!mounted) return console.log('skip  no disk of its own can be mounted for whoever runs this');
      await cp(at('week.gpkg'), at('full', 'week.gpkg'));
      await openPath(page, at('full', 'week.gpkg'));
      await page.getByText(`Opened ${at('full', 'week.gpkg')}`).waitFor();
      const permit = async (/** @type {string} */ text) => {
        await page.locator('#field-permit').fill(text);
        await page.keyboard.press('Tab');
      };
      const first = (await ask(page, { ask: 'sheet' })).sheet.jobs[0].id;
      const kept = async () => (await ask(page, { ask: 'stated', jobs: [first] })).jobs[0].properties.permit;
      await page.keyboard.press('/');
      await page.keyboard.type(first);
      await page.keyboard.press('Enter');
      await page.getByRole('region', { name: `Job ${first}`, exact: true }).waitFor();
      const away = () => page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
      await away();
      await page.keyboard.press('E');
      await page.waitForFunction(() => document.activeElement?.id === 'field-work');
      await after(page, () => permit('STW-1'));
      await fill();
      await permit('STW-2');
      const said = page.getByRole('alert').filter({ hasText: 'the disk is full' });
      await said.waitFor();
      await said.getByRole('button', { name: 'F-FULL: what it means' }).click();
      await said.getByText('The disk is full; the files on disk are as they were.', { exact: true }).waitFor();
      await shot(page, 'full-disk');
      assert.equal(await page.locator('#field-permit').inputValue(), 'STW-2', 'what was typed stays to be tried again');
      assert.equal(await kept(), 'STW-1', 'what could not be kept is not done, and what was before it is there');
      await away();
      await page.keyboard.press('S');
      await page.getByRole('textbox', { name: /on this machine/ }).fill(at('roomy.gpkg'));
      await page.keyboard.press('Enter');
      await page.getByText(`Saved in ${at('roomy.gpkg')}`).waitFor();
      await away();
      await after(page, () => permit('STW-3'));
      await away();
      assert.equal(await kept(), 'STW-3');
      for (const [path, permit] of [[at('roomy.gpkg'), 'STW-3'], [at('full', 'week.gpkg'), 'STW-1']]) {
        await openPath(page, path ?? '');
        await page.getByText(`Opened ${path}`).waitFor();
        assert.equal(await kept(), permit, path);
      }
      assert.deepEqual((await ask(page, { ask: 'history' })).past, [`set permit of ${first}`]);
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
    assert.deepEqual(await axe(page), []);
    assert.equal(await days.inputValue(), '5', 'the field is as it was');
    await page.keyboard.press('Escape');

    const other = await start([at('other.gpkg')]);
    await openPath(page, at('other.gpkg'));
    await refusal(/open in another window|in use/i).waitFor();
    await shot(page, 'in-use');
    assert.deepEqual(await axe(page), []);
    await page.keyboard.press('Escape');
    await other.close();
    await openPath(page, at('other.gpkg'));
    await page.getByText(`Opened ${at('other.gpkg')}`).waitFor();

    // The number of the version of our own tables stands in `gangday_meta`; a later program writes a higher one.
    await cp(at('week.gpkg'), at('newer.gpkg'));
    execFileSync('python3', ['-c', "import sqlite3, sys; db = sqlite3.connect(sys.argv[1]); db.execute('UPDATE gangday_meta SET value = 99 WHERE key = ?', ['version']); db.commit()", at('newer.gpkg')]);
    await openPath(page, at('newer.gpkg'));
    await refusal(/newer Gangday/).waitFor();
    await shot(page, 'newer');
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
  const begun = at('Harbour works.gpkg');
  await run('two starts: a programme is begun by keyboard in a new file, and has its first job', async (page) => {
    const opens = page.getByRole('button', { name: /^Begin a programme/ });
    await opens.focus();
    await page.keyboard.press('Enter');
    const field = page.getByRole('dialog', { name: 'Begin a programme' }).getByLabel('Path of the new file on this machine');
    await field.waitFor();
    await shot(page, 'begin');
    await field.fill(at('week.gpkg'));
    await page.keyboard.press('Enter');
    await page.getByText('is there already; open it, or begin under another name.').waitFor();
    assert.deepEqual(await axe(page), []);
    // The ending is put to it.
    await field.fill(at('Harbour works'));
    await page.keyboard.press('Enter');
    const week = page.getByRole('dialog', { name: 'The week' });
    await week.waitFor();
    const first = await week.getByLabel('First day').inputValue();
    const { sheet } = await ask(page, { ask: 'sheet' });
    assert.equal(sheet.folder, begun);
    assert.ok(new Date(`${sheet.days[0].date}T12:00`) > new Date(), `${first} is to come`);
    await shot(page, 'begun-week');
    await page.keyboard.press('Escape');
    const edit = { do: 'add', at: [-3.54, 54.0], properties: {} };
    await ask(page, { ask: 'edit', edit });
  });
  await run('two starts: what was begun is there, never having been saved by hand', async (page) => {
    await page.keyboard.press('o');
    await page.getByRole('dialog').getByRole('button', { name: begun, exact: true }).press('Enter');
    await ready(page);
    const { sheet } = await ask(page, { ask: 'sheet' });
    assert.deepEqual([sheet.folder, sheet.jobs.length, sheet.undo], [begun, 1, 'add N1']);
  });
  await rm(join(config, 'gangday'), { recursive: true, force: true });
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

await rm(place, { recursive: true });
finish(failed);
