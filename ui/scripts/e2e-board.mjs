// @ts-check
/** The board in a real Chromium: carry, lock, swap, plan the rest, record, issue, compare; each by mouse and by keyboard. */
import assert from 'node:assert/strict';
import { answered, changed, edition, hand, layers, routeOf } from './board.mjs';
import { mapDrawn, ready } from './browser.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */

/** Carries by the pointer from the middle of one place to a point in another. */
async function carry(/** @type {Page} */ page, /** @type {import('playwright-core').Locator} */ from, /** @type {import('playwright-core').Locator} */ to, { down = 0.5 } = {}) {
  const a = await from.boundingBox();
  const b = await to.boundingBox();
  assert.ok(a && b);
  await page.mouse.move(a.x + Math.min(8, a.width / 2), a.y + a.height / 2);
  await page.mouse.down();
  await page.mouse.move(a.x + 20, a.y + 20, { steps: 3 });
  await page.mouse.move(b.x + Math.min(12, b.width / 2), b.y + b.height * down, { steps: 4 });
  await answered(page, /^(Move|Swap|Each|Change)/).waitFor();
}

const firstJob = async (/** @type {Page} */ page) => (await page.locator('[data-piece].work[data-job]').first().getAttribute('data-job')) ?? '';

const failed = await suite(async (check) => {
  await check('a job carried by the mouse to an empty gang-day shows what that does, and goes there', {}, async (page) => {
    const job = await firstJob(page);
    const from = await routeOf(page, job);
    const empty = page.locator('[data-route]').filter({ hasText: /^–$|No work planned/ }).first();
    const to = await empty.getAttribute('data-route');
    const before = await edition(page);
    await carry(page, layers(page, job).first(), page.locator(`[data-head="${to}"]`));
    assert.equal(await routeOf(page, job), to, 'the board shows it there before it is put down');
    const said = await hand(page).innerText();
    assert.match(said, /£\d/);
    assert.match(said, /On the road/);
    assert.equal(await edition(page), before, 'nothing is changed by looking');
    await page.mouse.up();
    const twice = hand(page).getByRole('button', { name: /Put down all the same/ });
    await Promise.race([changed(page, before), twice.waitFor()]);
    if (await twice.isVisible()) await twice.click();
    await changed(page, before);
    assert.equal(await routeOf(page, job), to);
    await page.keyboard.press('z');
    await changed(page, before + 1);
    assert.equal(await routeOf(page, job), from, 'undo brings it back');
  });

  await check('a carry that breaks a rule says which in words, and is made only when it is said twice', {}, async (page) => {
    const job = await firstJob(page);
    const before = await edition(page);
    const from = await routeOf(page, job);
    const full = page.locator('[data-route]:has([data-piece])').nth(3);
    const to = await full.getAttribute('data-route');
    await carry(page, layers(page, job).first(), full);
    const rules = hand(page).getByRole('list', { name: 'Rules that it breaks' });
    await rules.waitFor();
    assert.match(await rules.innerText(), /R-[A-Z]+/);
    await page.mouse.up();
    await hand(page).getByRole('button', { name: /Put down all the same/ }).waitFor();
    assert.equal(await edition(page), before);
    await page.keyboard.press('Escape');
    await hand(page).waitFor({ state: 'detached' });
    assert.equal(await routeOf(page, job), from, 'let go, it is where it was');
    await carry(page, layers(page, job).first(), full);
    await page.mouse.up();
    await hand(page).getByRole('button', { name: /Put down all the same/ }).click();
    await changed(page, before);
    assert.equal(await routeOf(page, job), to);
    await page.getByText('The check of this week found a broken rule').waitFor();
    await page.keyboard.press('z');
    await changed(page, before + 1);
  });

  await check('by keyboard alone: pick up, carry by arrows, put down, undo; Escape lets go', {}, async (page) => {
    const job = await firstJob(page);
    const from = await routeOf(page, job);
    await layers(page, job).first().focus();
    await page.keyboard.press('x');
    await hand(page).waitFor();
    await page.keyboard.press('ArrowRight');
    await answered(page, /^Move/).waitFor();
    const to = await routeOf(page, job);
    assert.notEqual(to, from);
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Escape');
    await hand(page).waitFor({ state: 'detached' });
    assert.equal(await routeOf(page, job), from);
    const before = await edition(page);
    await page.keyboard.press('x');
    await page.keyboard.press('ArrowRight');
    await answered(page, /^Move/).waitFor();
    await page.keyboard.press('Enter');
    const doubted = hand(page).getByRole('button', { name: /Put down all the same/ });
    await Promise.race([changed(page, before), doubted.waitFor()]);
    if (await doubted.isVisible()) await page.keyboard.press('Enter');
    await changed(page, before);
    assert.equal(await routeOf(page, job), to);
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute('data-job')), job, 'the focus goes with it');
    await page.keyboard.press('z');
    await changed(page, before + 1);
    assert.equal(await routeOf(page, job), from);
  });

  for (const [how, lift] of /** @type {[string, (page: Page, piece: import('playwright-core').Locator) => Promise<void>][]} */ ([
    ['mouse', async (page, piece) => {
      const box = await piece.boundingBox();
      const whole = await piece.locator('xpath=ancestor::*[@data-route]').boundingBox();
      assert.ok(box && whole);
      await page.mouse.move(box.x + 8, box.y + box.height / 2);
      await page.mouse.down();
      await page.mouse.move(box.x + 12, box.y + box.height / 2 + 12, { steps: 3 });
      await page.mouse.move(box.x + 12, whole.y + whole.height * 0.95, { steps: 4 });
    }],
    ['keyboard', async (page, piece) => {
      await piece.focus();
      await page.keyboard.press('x');
      for (let i = 0; i < 9; i++) await page.keyboard.press('ArrowDown');
    }],
  ]))
    await check(`a single visit has another place in its own gang-day, by ${how}`, {}, async (page) => {
      const wanted = page.waitForRequest((request) => request.url().endsWith('/call') && (request.postData() ?? '').includes('"move_visit"'));
      const column = page.locator('[data-route]:has([data-piece].work)').first();
      const key = await column.getAttribute('data-route');
      const piece = column.locator('[data-stage]').first();
      const [job, stage] = [await piece.getAttribute('data-job'), await piece.getAttribute('data-stage')];
      await lift(page, piece);
      const { ask, change } = JSON.parse((await wanted).postData() ?? '{}');
      assert.deepEqual([ask, change.do, change.job, change.stage], ['what_if', 'move_visit', job, stage]);
      await answered(page, /^(?!.*is in hand)./).waitFor();
      // Let go before the button is: else it would be put down where that breaks no rule.
      await page.keyboard.press('Escape');
      if (how === 'mouse') await page.mouse.up();
      await hand(page).waitFor({ state: 'detached' });
      assert.equal(await routeOf(page, job ?? ''), key, 'let go, it is where it was');

      // And once more, to be put down.
      const order = () => column.locator('[data-stage]').evaluateAll((all) => all.map((one) => `${one.getAttribute('data-job')} ${one.getAttribute('data-stage')}`));
      const was = await order();
      const before = await edition(page);
      const made = page.waitForRequest((request) => request.url().endsWith('/call') && (request.postData() ?? '').includes('"ask":"change"'));
      await lift(page, piece);
      await answered(page, /: (£|costs)/).waitFor();
      const then = await order();
      assert.notDeepEqual(then, was, 'the board shows it there');
      if (how === 'mouse') await page.mouse.up();
      else await page.keyboard.press('Enter');
      const twice = hand(page).getByRole('button', { name: /Put down all the same/ });
      await Promise.race([changed(page, before), twice.waitFor()]);
      if (await twice.isVisible()) await page.keyboard.press('Enter');
      await changed(page, before);
      const { change: done } = JSON.parse((await made).postData() ?? '{}');
      assert.deepEqual([done.do, done.job, done.stage], ['move_visit', job, stage]);
      assert.deepEqual(await order(), then, 'and it stands there');
      assert.equal(await column.getAttribute('data-route'), key);
      await page.keyboard.press('z');
      await changed(page, before + 1);
      assert.deepEqual(await order(), was, 'undo brings it back');
    });

  await check('a job that is not planned is carried from the list onto the board, by mouse and by keyboard', {}, async (page) => {
    const left = page.getByRole('region', { name: 'Put right, contents' }).locator('[data-job]').first();
    const job = (await left.getAttribute('data-job')) ?? '';
    const to = page.locator('[data-head]').first();
    await carry(page, left, to);
    assert.ok((await layers(page, job).count()) > 0, 'the board shows it before it is put down');
    await page.keyboard.press('Escape');
    await page.mouse.up();
    await hand(page).waitFor({ state: 'detached' });
    await left.focus();
    await page.keyboard.press('x');
    await page.keyboard.press('ArrowRight');
    await answered(page, new RegExp(`^(Move|Put|Plan).*${job}`)).waitFor();
    await page.keyboard.press('Escape');
  });

  await check('a job is carried from the map onto the board', {}, async (page) => {
    await mapDrawn(page);
    const job = await firstJob(page);
    await layers(page, job).first().click();
    await page.waitForTimeout(1500);
    await mapDrawn(page);
    const at = await page.evaluate(() => {
      const map = /** @type {any} */ (window.__gangday?.map);
      return map.project(map.queryRenderedFeatures({ layers: ['job-halo'] })[0].geometry.coordinates);
    });
    const empty = page.locator('[data-route]').filter({ hasText: /^–$|No work planned/ }).first();
    const to = await empty.getAttribute('data-route');
    const box = await page.locator(`[data-head="${to}"]`).boundingBox();
    assert.ok(box);
    await page.mouse.move(at.x, at.y);
    await page.mouse.down();
    await page.mouse.move(at.x + 10, at.y + 20, { steps: 3 });
    await page.getByText(`${job}’s pin is in hand`).waitFor();
    await page.mouse.move(box.x + 10, box.y + 10, { steps: 5 });
    await answered(page, /^Move/).waitFor();
    assert.equal(await routeOf(page, job), to);
    await page.keyboard.press('Escape');
    await page.mouse.up();
    await hand(page).waitFor({ state: 'detached' });
  });

  for (const [name, key, several] of /** @type {const} */ ([['a day is split', 'X', false], ['several jobs are carried', 'x', true]]))
    await check(`${name}: shown before it is done, done by Enter, taken back`, {}, async (page) => {
      const column = page.locator('[data-route]:has([data-piece].work)').first();
      const jobs = [...new Set(await column.locator('[data-piece].work[data-job]').evaluateAll((all) => all.map((one) => one.getAttribute('data-job') ?? '')))];
      const from = await column.getAttribute('data-route');
      const moving = several ? jobs.slice(0, 2) : jobs.slice(1);
      await layers(page, moving[0] ?? '').first().click();
      if (several) for (const job of moving.slice(1)) await layers(page, job).first().click({ modifiers: ['Control'] });
      const before = await edition(page);
      await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
      await page.keyboard.press(key);
      await hand(page).waitFor();
      await page.keyboard.press('ArrowRight');
      await answered(page, /^(?!.*in hand)./).waitFor();
      assert.match(await hand(page).innerText(), /£\d/);
      assert.equal(await edition(page), before, 'nothing is changed by looking');
      const to = await routeOf(page, moving[0] ?? '');
      assert.notEqual(to, from);
      await page.keyboard.press('Enter');
      const twice = hand(page).getByRole('button', { name: /Put down all the same/ });
      await Promise.race([changed(page, before), twice.waitFor()]);
      if (await twice.isVisible()) await page.keyboard.press('Enter');
      await changed(page, before);
      for (const job of jobs) assert.equal(await routeOf(page, job), moving.includes(job) ? to : from, `${job} goes or stays`);
      await page.keyboard.press('z');
      await changed(page, before + 1);
      for (const job of jobs) assert.equal(await routeOf(page, job), from);
    });

  await check('what one more gang would do is tried, and nothing is changed', { refusals: true }, async (page) => {
    const started = await edition(page);
    await layers(page, await firstJob(page)).first().click();
    await page.getByRole('button', { name: 'Leave out' }).click();
    await changed(page, started);
    const before = await edition(page);
    await page.keyboard.press('G');
    const sheet = page.getByRole('dialog', { name: 'One more gang?' });
    // Not every gang could do any of them, or would be worth it: then that is said.
    const said = sheet.getByRole('status').filter({ hasText: /left out now, \d+ then; it would cost .£|could do none of them/ });
    let would = '';
    for (const like of await sheet.getByRole('combobox').locator('option').evaluateAll((all) => all.map((one) => /** @type {HTMLOptionElement} */ (one).value))) {
      await sheet.getByRole('combobox').selectOption(like);
      await page.waitForTimeout(300);
      await said.waitFor();
      would = await said.innerText();
      if (/left out now/.test(would)) break;
    }
    assert.match(would, /left out now, \d+ then; it would cost .£/, 'one of them would do some');
    await picture(page, 'one-more-gang');
    assert.ok((await sheet.getByRole('list', { name: 'What it would do' }).locator('li').count()) > 0);
    assert.deepEqual(await axe(page), []);
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: /^One more gang/ }).click();
    await sheet.waitFor();
    assert.equal(await edition(page), before);
    await page.keyboard.press('Escape');
    await page.keyboard.press('z');
    await changed(page, before);
  });

  await check('two gang-days change places, by mouse and by keyboard', {}, async (page) => {
    const heads = page.locator('[data-head]:not([aria-disabled="true"])');
    const jobsIn = (/** @type {string | null} */ key) => page.locator(`[data-route="${key}"] [data-piece].work`).evaluateAll((all) => [...new Set(all.map((one) => one.getAttribute('data-job')))].sort());
    const [one, other] = [await heads.nth(0).getAttribute('data-head'), await heads.nth(1).getAttribute('data-head')];
    const [a, b] = [await jobsIn(one), await jobsIn(other)];
    const swap = async (/** @type {() => Promise<void>} */ act) => {
      const before = await edition(page);
      await act();
      const twice = hand(page).getByRole('button', { name: /Put down all the same/ });
      await Promise.race([changed(page, before), twice.waitFor()]);
      if (await twice.isVisible()) await page.keyboard.press('Enter');
      await changed(page, before);
      assert.deepEqual([await jobsIn(one), await jobsIn(other)], [b, a]);
      await page.keyboard.press('z');
      await changed(page, before + 1);
      assert.deepEqual([await jobsIn(one), await jobsIn(other)], [a, b]);
    };
    await swap(async () => {
      await carry(page, page.locator(`[data-head="${one}"]`), page.locator(`[data-head="${other}"]`));
      await page.mouse.up();
    });
    await swap(async () => {
      await page.locator(`[data-head="${one}"]`).focus();
      await page.keyboard.press('x');
      await page.keyboard.press('ArrowRight');
      await hand(page).getByRole('button', { name: /^Put down/ }).waitFor();
      await page.keyboard.press('Enter');
    });
  });

  await check('a locked job stays when the rest is planned again; what is done says when; both by keyboard too', {}, async (page) => {
    const job = await firstJob(page);
    await layers(page, job).first().click();
    const acts = page.getByRole('group', { name: `What to do with ${job}` });
    let before = await edition(page);
    await acts.getByRole('button', { name: /^Lock/ }).click();
    await changed(page, before);
    assert.match((await layers(page, job).first().getAttribute('aria-label')) ?? '', /, locked$/);
    before = await edition(page);
    await page.keyboard.press('k');
    await changed(page, before);
    assert.doesNotMatch((await layers(page, job).first().getAttribute('aria-label')) ?? '', /locked/);
    before = await edition(page);
    await page.keyboard.press('k');
    await changed(page, before);
    const place = await layers(page, job).evaluateAll((all) => all.map((one) => `${one.closest('[data-route]')?.getAttribute('data-route')} ${one.getAttribute('aria-label')}`));
    before = await edition(page);
    await page.keyboard.press('r');
    await page.getByRole('region', { name: 'Planning' }).waitFor();
    await page.waitForTimeout(500);
    await page.keyboard.press('Escape');
    await page.getByRole('region', { name: 'Planning' }).waitFor({ state: 'detached' });
    // Where nothing better was found, the week stays as it was, and that is said.
    await page.getByText(/^The rest is planned again|; it is kept\.$/).first().waitFor();
    await ready(page);
    assert.deepEqual(await layers(page, job).evaluateAll((all) => all.map((one) => `${one.closest('[data-route]')?.getAttribute('data-route')} ${one.getAttribute('aria-label')}`)), place);

    before = await edition(page);
    await page.getByRole('button', { name: /record as done$/ }).first().click();
    const field = page.getByRole('textbox', { name: /When it was done/ });
    assert.match(await field.inputValue(), /^\d\d:\d\d$/, 'the planned time is offered');
    await field.fill('25:00');
    await page.keyboard.press('Enter');
    assert.equal(await edition(page), before, 'no such time is recorded');
    await field.fill('16:40');
    await page.keyboard.press('Enter');
    await changed(page, before);
    await page.getByRole('button', { name: /done, change when$/ }).filter({ hasText: /16:40.*late/ }).waitFor();
    await picture(page, 'recorded');
    assert.match((await layers(page, job).first().getAttribute('aria-label')) ?? '', /, done$/);
    // What follows has moved on past the end of the day, so that this can't be issued.
    const button = page.getByRole('dialog', { name: 'Plans' }).getByRole('button', { name: /^Issue plan/ });
    await page.locator('body').press('v');
    await button.waitFor();
    await page.waitForFunction((one) => /** @type {HTMLButtonElement} */ (one).disabled, await button.elementHandle(), { polling: 50 });
    await page.keyboard.press('Escape');
    before = await edition(page);
    await page.keyboard.press('z');
    await changed(page, before);
    assert.doesNotMatch((await layers(page, job).first().getAttribute('aria-label')) ?? '', /, done$/);
  });

  await check('a plan is issued under a number and a date, frozen, and held against the plan on the desk', {}, async (page) => {
    let before = await edition(page);
    await page.keyboard.press('v');
    const sheet = page.getByRole('dialog', { name: 'Plans' });
    const dated = sheet.getByRole('textbox', { name: 'Dated' });
    assert.match(await dated.inputValue(), /^\d\d\/\d\d\/\d{4}$/, 'a date is written day first');
    await dated.fill('25/2/2027');
    await dated.press('Tab');
    await sheet.getByRole('button', { name: 'Issue plan 1' }).click();
    await changed(page, before);
    await sheet.getByText('25 February 2027').first().waitFor();
    await sheet.getByText('Every job is where it was.').waitFor();
    assert.deepEqual(await axe(page), []);
    await page.keyboard.press('Escape');

    // Another place for a job, by keyboard; the issue keeps the old one.
    const job = (await page.locator('[data-piece].work[data-job]').last().getAttribute('data-job')) ?? '';
    before = await edition(page);
    await page.locator(`[data-piece][data-job="${job}"]`).first().focus();
    await page.keyboard.press('x');
    await page.keyboard.press('ArrowLeft');
    await answered(page, /^Move/).waitFor();
    assert.deepEqual(await axe(page), [], 'with a job in hand');
    await page.keyboard.press('Enter');
    const twice = hand(page).getByRole('button', { name: /Put down all the same/ });
    await Promise.race([changed(page, before), twice.waitFor()]);
    if (await twice.isVisible()) await page.keyboard.press('Enter');
    await changed(page, before);
    await page.keyboard.press('v');
    await sheet.getByRole('heading', { name: /gang-days? differs?,/ }).waitFor();
    assert.ok((await sheet.locator('figure').count()) >= 1, 'what differs is drawn');
    assert.match(await sheet.getByRole('table').innerText(), /[+−]/);
    await sheet.getByRole('button', { name: new RegExp(`^${job} from`) }).waitFor();
    assert.deepEqual(await axe(page), []);
  });

  for (const scheme of ['light', 'dark'])
    await check(`axe finds nothing with a job in hand that breaks a rule, ${scheme}`, { scheme }, async (page) => {
      const job = await firstJob(page);
      await layers(page, job).first().click();
      await page.keyboard.press('x');
      await page.keyboard.press('ArrowRight');
      await answered(page, /^Move/).waitFor();
      assert.deepEqual(await axe(page), []);
    });
});

finish(failed);
