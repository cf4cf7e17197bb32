// @ts-check
/** Carrying on in the middle of a week, in a real Chromium: what is past stays, the rest is planned from a day on. */
import assert from 'node:assert/strict';
import { after, answered, hand, jobsIn, layers, twice, worked } from './board.mjs';
import { ready } from './browser.mjs';
import { ask } from './driven.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */

const planning = (/** @type {Page} */ page) => page.getByRole('region', { name: 'Planning' });
const days = (/** @type {Page} */ page) => page.getByRole('group', { name: 'Which days' });
const faults = (/** @type {any} */ sheet) => sheet.findings.filter((/** @type {any} */ one) => one.code.startsWith('R-')).map((/** @type {any} */ one) => `${one.code} ${one.place}`);
const sheetOf = async (/** @type {Page} */ page) => (await ask(page, { ask: 'sheet' })).sheet;

/** Plans the rest by its key, and stops once something was found. */
async function planRest(/** @type {Page} */ page) {
  await page.keyboard.press('r');
  await planning(page).waitFor();
  await page.waitForTimeout(2500);
  await planning(page)
    .getByRole('button', { name: /^Stop and keep the best/ })
    .click({ timeout: 3000 })
    .catch(() => undefined);
  await planning(page).waitFor({ state: 'detached' });
  await page.getByText(/^The rest is planned again|; it is kept\.$/).first().waitFor();
  await ready(page);
}

/** What of each gang-day before a date is not done. */
const undone = (/** @type {any} */ sheet, /** @type {string} */ date) =>
  sheet.plan.columns
    .filter((/** @type {any} */ one) => one.date < date)
    .flatMap((/** @type {any} */ one) => one.layers.filter((/** @type {any} */ layer) => layer.stage && layer.stays !== 'done').map((/** @type {any} */ layer) => `${one.key} ${layer.job} ${layer.stage}`));

const failed = await suite(async (check) => {
  await check('on a Wednesday morning the rest is planned from that day on: what was done stays, what was not goes on, by keyboard alone', {}, async (page) => {
    const [first = ''] = await worked(page);
    const [begun = ''] = await jobsIn(page, first);
    const before = await sheetOf(page);
    const column = before.plan.columns.find((/** @type {any} */ one) => one.key === first);
    const dug = column.layers.find((/** @type {any} */ one) => one.job === begun && one.stage);
    const at = (/** @type {number} */ minutes) => `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
    await ask(page, { ask: 'record', job: begun, stage: dug.stage, at: `${column.date}T${at(dug.to)}` });
    // All of Tuesday went as planned; of Monday only the first stage of one job is known.
    for (const one of before.plan.columns.filter((/** @type {any} */ one) => one.date === '2027-03-02')) await ask(page, { ask: 'record_as_planned', of: { what: 'gang_day', key: one.key } }).catch(() => undefined);
    await page.reload();
    await ready(page);
    await page.keyboard.press('3');
    await days(page).getByRole('button', { name: /^Wed 3 Mar/, pressed: true }).waitFor();
    await after(page, () => page.keyboard.press('C'));
    await page.getByText(/^Planned from Wed 3 Mar on\./).first().waitFor();
    await page.getByRole('button', { name: /^Planned from here on/, pressed: true }).waitFor();
    await page.keyboard.press('w');
    await days(page).getByRole('button', { name: /^Mon 1 Mar ?, past/ }).waitFor();
    assert.equal(await days(page).getByRole('button', { name: / ?, past/ }).count(), 2);
    await page.getByText('from Wed 3 Mar', { exact: true }).waitFor();
    const stood = await sheetOf(page);
    assert.ok(faults(stood).length > 5 && faults(stood).every((/** @type {string} */ one) => one.startsWith('R-PAST')), String(faults(stood)));
    assert.deepEqual(await axe(page), []);
    await picture(page, 'from-a-day-open');
    await planRest(page);
    const now = await sheetOf(page);
    assert.deepEqual(faults(now), []);
    assert.deepEqual(undone(now, '2027-03-03'), []);
    const own = await layers(page, begun).evaluateAll((all) => all.map((one) => [one.closest('[data-route]')?.getAttribute('data-route') ?? '', one.getAttribute('data-stage')]));
    assert.deepEqual(own[0], [first, dug.stage], 'what was done of it stays');
    assert.ok(own.length === 1 || own.slice(1).every(([route]) => (route ?? '').slice(-10) >= '2027-03-03'), String(own));
    assert.deepEqual(await axe(page), []);
    await picture(page, 'from-a-day');
    // One undo takes back what was planned, the next the day; by gangs it is shown as well.
    await page.keyboard.press('g');
    assert.ok((await page.locator('.gang-day.past').count()) > 5);
    await after(page, () => page.keyboard.press('Control+z'));
    await after(page, () => page.keyboard.press('Control+z'));
    assert.equal(await days(page).getByRole('button', { name: / ?, past/ }).count(), 0);
  });

  await check('by mouse a day is planned from and not planned from, and what is carried to a day that is past is told so', {}, async (page) => {
    await days(page).getByRole('button', { name: /^Tue 2 Mar/ }).click();
    await after(page, () => page.getByRole('button', { name: /^Plan from here on/ }).click());
    await days(page).getByRole('button', { name: /^Week/ }).click();
    // Side by side, the days of a gang are one step apart.
    await page.keyboard.press('g');
    const friday = (await worked(page)).find((key) => key.endsWith('2027-03-05')) ?? '';
    const [job = ''] = await jobsIn(page, friday);
    await layers(page, job).first().click();
    await page.keyboard.press('x');
    await hand(page).waitFor();
    for (let days = 0; days < 4; days++) await page.keyboard.press('ArrowLeft');

    await answered(page, /breaks 1 rule/).waitFor();
    await hand(page).getByText(/would be on Mon 1 Mar, before the day from which is planned/).waitFor();
    // What breaks a rule is put down twice.
    await page.keyboard.press('Enter');
    await twice(page).waitFor();
    await page.keyboard.press('Escape');
    await hand(page).waitFor({ state: 'detached' });
    await days(page).getByRole('button', { name: /^Tue 2 Mar/ }).click();
    await after(page, () => page.getByRole('button', { name: /^Planned from here on/, pressed: true }).click());
    await page.getByText(/^Every day of the week can be planned again\./).first().waitFor();
    assert.equal(await days(page).getByRole('button', { name: / ?, past/ }).count(), 0);
  });

  await check('today is offered where it is a day of the week, and stated in the week’s form as any date is', {}, async (page) => {
    await page.clock.setFixedTime(new Date('2027-03-04T06:45:00'));
    await page.reload();
    await ready(page);
    await after(page, () => page.getByRole('button', { name: /^Today is Thu 4 Mar: plan from today/ }).click());
    assert.equal(await days(page).getByRole('button', { name: / ?, past/ }).count(), 3);
    assert.equal(await page.getByRole('button', { name: /^Today is/ }).count(), 0, 'asked once');
    await page.keyboard.press('W');
    const field = page.getByRole('dialog', { name: 'The week' }).getByLabel('Nothing is planned before');
    for (let tries = 0; tries < 100 && (await field.inputValue()) === ''; tries++) await page.waitForTimeout(50);
    assert.equal(await field.inputValue(), 'Thu 4 Mar 2027');
    await field.fill('Fri 5 Mar 2027');
    await after(page, () => field.press('Tab'));
    assert.equal(await days(page).getByRole('button', { name: / ?, past/ }).count(), 4);
    await field.fill('');
    await after(page, () => field.press('Tab'));
    await page.keyboard.press('Escape');
    assert.equal(await days(page).getByRole('button', { name: / ?, past/ }).count(), 0);
  });

  await check('what was begun before the week is closed on each of its days until it is gone on with, and that is where it is finished first', {}, async (page) => {
    const before = await sheetOf(page);
    const closed = before.plan.closures.filter((/** @type {any} */ one) => one.kind === 'lane' && one.date >= '2027-03-03' && one.to < 1440);
    const { job, date } = closed.at(-1);
    const counted = async (/** @type {string} */ day) => {
      await page.keyboard.press(String(1 + (Date.parse(day) - Date.parse('2027-03-01')) / 86_400_000));
      await days(page).getByRole('button', { name: new RegExp(`^\\w{3} ${Number(day.slice(8))} Mar`), pressed: true }).waitFor();
      return Number.parseInt(await page.locator('.bar p[aria-live]').innerText(), 10);
    };
    const open = await counted('2027-03-02');
    await ask(page, { ask: 'record', job, stage: before.plan.columns.flatMap((/** @type {any} */ one) => one.layers).find((/** @type {any} */ one) => one.job === job && one.stage).stage, at: '2027-02-26T15:10' });
    await page.reload();
    await ready(page);
    assert.equal(await counted('2027-03-02'), open + 1, 'one more is closed on a day on which nobody works at it');
    const stands = (await sheetOf(page)).plan.closures.find((/** @type {any} */ one) => one.job === job);
    assert.deepEqual([stands.date, stands.from, stands.to, stands.route], ['2027-03-01', 0, 5 * 1440, ''], 'until its rest is planned nobody works there');
    await page.keyboard.press('/');
    await page.keyboard.type(job);
    await page.getByRole('option').first().waitFor();
    await page.keyboard.press('Enter');
    await page.locator('.closure').getByText('Lane closed to the week’s end', { exact: true }).first().waitFor();
    await page.waitForFunction((job) => /** @type {any} */ (window.__gangday?.map).queryRenderedFeatures({ layers: ['closure-far', 'closure'] }).some((/** @type {any} */ one) => one.properties.job === job && one.properties.date === '2027-03-02'), job, { polling: 100 });
    await picture(page, 'stands-open');
    await page.keyboard.press('Escape');
    await planRest(page);
    const now = await sheetOf(page);
    assert.deepEqual(faults(now), []);
    const first = now.plan.closures.find((/** @type {any} */ one) => one.job === job);
    assert.ok(first.route.slice(-10) < date, `gone on with on ${first.route}, before ${date}`);
    assert.match(first.words, /^Lane closed to (\w{3} )?\d\d:\d\d$/);
  });
});
finish(failed);
