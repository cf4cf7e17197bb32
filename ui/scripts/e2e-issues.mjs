// @ts-check
/** Planning and issuing in a real Chromium: what is said while a week is planned, the rest planned after work was recorded, two issues side by side. */
import assert from 'node:assert/strict';
import { after, answered, changed, edition, hand, jobsIn, layers, twice, worked } from './board.mjs';
import { ready } from './browser.mjs';
import { ask, titled } from './driven.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */

const planning = (/** @type {Page} */ page) => page.getByRole('region', { name: 'Planning' });
/** Where and when a job's layers are, and what is said of them. */
const placed = (/** @type {Page} */ page, /** @type {string} */ job) => layers(page, job).evaluateAll((all) => all.map((one) => `${one.closest('[data-route]')?.getAttribute('data-route')} ${one.getAttribute('data-stage')} ${/\d\d:\d\d–(?:\w+ )?\d\d:\d\d/.exec(one.title)?.[0]}`));

/** What the panel says while the week is made, once each, until it has said so many things or the planning is over. */
const watch = (/** @type {Page} */ page, /** @type {number} */ most) =>
  page.evaluate(async (enough) => {
    /** @type {{ count: string, words: string, fraction: number }[]} */
    const seen = [];
    const until = Date.now() + 100_000;
    while (Date.now() < until && seen.length < enough) {
      const panel = document.querySelector('section.busy');
      if (panel === null && seen.length > 0) break;
      const now = panel && { count: panel.querySelector('.count')?.textContent ?? '', words: panel.querySelector('[role=status]')?.textContent ?? '', fraction: panel.querySelector('progress')?.value ?? 0 };
      const last = seen.at(-1);
      if (now && (last?.words !== now.words || last.count !== now.count || last.fraction !== now.fraction)) seen.push(now);
      await new Promise((wake) => setTimeout(wake, 20));
    }
    return seen;
  }, most);

/** What is said once work is recorded, which begins so. */
const asPlanned = (/** @type {RegExp} */ begins) => new RegExp(`${begins.source} recorded as done at their planned times\\. Undo takes it back\\.$`);
/** Where and when the layers of some jobs are. */
async function all(/** @type {Page} */ page, /** @type {string[]} */ jobs) {
  const of = [];
  for (const job of jobs) of.push(...(await placed(page, job)));
  return of;
}

/** Issues the plan that lies there, unless it is issued; the sheet as it then is. */
async function issueOne(/** @type {Page} */ page) {
  await page.keyboard.press('v');
  const button = page.getByRole('dialog', { name: 'Plans' }).getByRole('button', { name: /^Issue plan \d+$/ });
  await button.waitFor();
  if (await button.isEnabled()) await after(page, () => button.click());
  await page.keyboard.press('Escape');
  return (await ask(page, { ask: 'sheet' })).sheet;
}
/** Moves the week on by one, in its form. */
async function weekOn(/** @type {Page} */ page) {
  await page.keyboard.press('W');
  const days = page.getByRole('dialog', { name: 'The week' }).getByLabel('First day', { exact: true });
  await days.fill('8/3/2027');
  await after(page, () => days.press('Tab'));
  await page.keyboard.press('Escape');
}
/** The jobs that the desk has stand as issued. */
async function standing(/** @type {Page} */ page) {
  const { plan } = (await ask(page, { ask: 'sheet' })).sheet;
  const stand = plan.unplanned.filter((/** @type {any} */ one) => one.codes.includes('U-STANDS'));
  return stand.map((/** @type {any} */ one) => /** @type {string} */ (one.job));
}
/** Finds a job and selects it. */
async function find(/** @type {Page} */ page, /** @type {string} */ job) {
  await page.keyboard.press('/');
  await page.keyboard.press('Control+a');
  await page.keyboard.type(job);
  await page.keyboard.press('Enter');
}

/** Waits for the end of a planning, or ends it. */
async function toItsEnd(/** @type {Page} */ page) {
  const stop = planning(page).getByRole('button', { name: /^Stop and keep the best/ });
  // It may have ended by itself.
  await stop.click({ timeout: 3000 }).catch(() => undefined);
  await planning(page).waitFor({ state: 'detached' });
  await page.getByText(/^(The week is planned|Stopped; the best plan found so far is on the desk|The rest is planned again)|; it is kept\.$/).first().waitFor();
  await ready(page);
}

const failed = await suite(async (check) => {
  await check('while the week is planned it is said how many jobs are, what it costs and how that sinks, and stopping keeps the best', {}, async (page) => {
    await page.getByRole('button', { name: /^Plan p?$/ }).click();
    await planning(page).waitFor();
    const seen = await watch(page, 8);
    assert.ok(await planning(page).isVisible(), 'it is stopped while it runs');
    assert.ok(seen.length >= 4, JSON.stringify(seen));
    // Before the first week is there, nothing is counted yet.
    const begun = seen.filter(({ words }) => !words.startsWith('Sorting'));
    assert.ok(begun.length >= 3, JSON.stringify(seen));
    for (const { count } of begun) assert.match(count, /^\d+ of \d+ jobs planned$/);
    const of = new Set(begun.map(({ count }) => count.split(' ')[2]));
    assert.deepEqual([...of], ['72'], 'of as many as there are');
    const costs = seen.flatMap(({ words }) => /£([\d,]+\.\d\d)/.exec(words)?.[1] ?? []).map((cost) => Number(cost.replaceAll(',', '')));
    assert.ok(costs.length >= 2, JSON.stringify(seen.map(({ words }) => words)));
    assert.deepEqual(costs, [...costs].sort((a, b) => b - a), 'the best so far never costs more than before');
    const fractions = seen.map(({ fraction }) => fraction);
    assert.deepEqual(fractions, [...fractions].sort((a, b) => a - b), 'it never goes back');
    assert.ok((fractions.at(-1) ?? 0) > (fractions[0] ?? 0));
    const last = /^\d+/.exec(seen.at(-1)?.count ?? '')?.[0];
    await toItsEnd(page);
    const summary = Number(/(\d+) of 72 jobs/.exec(await page.locator('footer').innerText())?.[1]);
    assert.ok(summary >= Number(last), `${summary} planned after ${last} were`);
  });

  await check('what was recorded as done stays where and when it was when the rest is planned again', {}, async (page) => {
    const job = (await jobsIn(page, (await worked(page))[0] ?? ''))[0] ?? '';
    await layers(page, job).first().click();
    const first = (await placed(page, job))[0];
    await page.getByRole('button', { name: /record as done$/ }).first().click();
    await page.getByRole('textbox', { name: /When it was done/ }).press('Home');
    await after(page, () => page.keyboard.press('Enter'));
    await page.getByRole('button', { name: /done, change when$/ }).first().waitFor();
    assert.equal((await placed(page, job))[0], first, 'done as it was planned, it is where it was');
    const was = await placed(page, job);
    await page.getByRole('button', { name: /^Plan rest/ }).click();
    await planning(page).waitFor();
    const seen = await watch(page, 6);
    assert.ok(seen.some(({ words }) => /£\d/.test(words)), JSON.stringify(seen));
    await toItsEnd(page);
    assert.equal((await placed(page, job))[0], first, 'what is done is where and when it was');
    assert.match((await layers(page, job).first().getAttribute('aria-label')) ?? '', /, done$/);
    assert.equal(new Set((await placed(page, job)).map((one) => one.split(' ')[0])).size, new Set(was.map((one) => one.split(' ')[0])).size);
    await layers(page, job).first().click();
    await page.getByRole('button', { name: /done, change when$/ }).first().waitFor();
    // Planning the rest is a step of its own where it found anything better.
    const done = async () => /, done$/.test((await layers(page, job).first().getAttribute('aria-label')) ?? '');
    for (let steps = 0; steps < 2 && (await done()); steps++) await after(page, () => page.keyboard.press('Control+z'));
    assert.doesNotMatch((await layers(page, job).first().getAttribute('aria-label')) ?? '', /, done$/);
  });

  await check('of a job that was begun only the rest is in hand, and by keyboard goes to a later day while what is done stays', {}, async (page) => {
    const [from = ''] = await worked(page);
    const [, date = ''] = from.split('@');
    let job = '';
    for (const one of await jobsIn(page, from)) if ((await layers(page, one).and(page.locator('[data-stage="base"]')).count()) > 0) job ||= one;
    const base = layers(page, job).and(page.locator('[data-stage="base"]'));
    await base.focus();
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: /pour base.*record as done$/i }).click();
    await page.getByRole('textbox', { name: /When it was done/ }).press('Home');
    await after(page, () => page.keyboard.press('Enter'));
    const was = await placed(page, job);
    const done = async () => (await layers(page, job).evaluateAll((all) => all.filter((one) => /, done/.test(one.title)).map((one) => one.getAttribute('data-stage')))).join(' ');
    assert.equal(await done(), 'dig base');

    const left = layers(page, job).and(page.locator('[data-stage="build"]'));
    await left.focus();
    await page.keyboard.press('x');
    await hand(page).getByText(`The rest of ${job} is in hand.`).waitFor();
    assert.deepEqual([await base.getAttribute('aria-pressed'), await left.getAttribute('aria-pressed')], ['false', 'true'], 'what is done is not in hand');
    const to = (await page.locator('[data-route]').evaluateAll((all) => all.map((one) => one.getAttribute('data-route') ?? ''))).find((key) => key.startsWith(from.split('@')[0] ?? '') && key.slice(-10) > date) ?? '';
    for (let i = 0; i < 30 && (await page.locator(`[data-route="${to}"].over`).count()) === 0; i++) {
      await page.keyboard.press('ArrowRight');
      await answered(page, /: (£|costs)/).waitFor();
    }
    await answered(page, new RegExp(`^Move the rest of ${job} to `)).waitFor();
    assert.doesNotMatch(await hand(page).innerText(), /R-LOCKED/);
    const before = await edition(page);
    await page.keyboard.press('Enter');
    await Promise.race([changed(page, before), twice(page).waitFor()]);
    if (await twice(page).isVisible()) await page.keyboard.press('Enter');
    await changed(page, before);
    const now = await placed(page, job);
    assert.deepEqual(now.slice(0, 2), was.slice(0, 2), 'what is done is where and when it was');
    assert.ok(now.slice(2).length === was.slice(2).length && now.slice(2).every((one) => one.startsWith(to)), now.join('\n'));
    assert.equal(await done(), 'dig base');
    assert.match((await page.getByRole('button', { name: /^Undo/ }).getAttribute('title')) ?? '', new RegExp(`the rest of ${job}`, 'i'));
    // Picked up again it is one step from the day on which the rest is now.
    const keys = await page.locator('[data-route]').evaluateAll((all) => [...new Set(all.map((one) => one.getAttribute('data-route') ?? ''))]);
    await left.focus();
    await page.keyboard.press('x');
    await hand(page).waitFor();
    await page.keyboard.press('ArrowRight');
    await page.locator(`[data-route="${keys[keys.indexOf(to) + 1]}"].over`).first().waitFor();
    await page.keyboard.press('Escape');
    await hand(page).waitFor({ state: 'detached' });
    await after(page, () => page.keyboard.press('Control+z'));
    assert.deepEqual(await placed(page, job), was);
  });

  await check('two issues are held against one another, either way round, whatever the desk does meanwhile', {}, async (page) => {
    const sheet = page.getByRole('dialog', { name: 'Plans' });
    const issue = async (/** @type {number} */ number) => {
      await page.getByRole('button', { name: /^Plans/ }).click();
      await after(page, () => sheet.getByRole('button', { name: `Issue plan ${number}` }).click());
      await sheet.getByText(`The plan on the desk is issue ${number}`).waitFor();
      await page.keyboard.press('Escape');
    };
    const leaveOut = async (/** @type {string} */ job) => {
      await layers(page, job).first().click();
      await after(page, () => page.getByRole('button', { name: 'Leave out' }).click());
      assert.equal(await layers(page, job).count(), 0);
    };
    const [one = '', other = ''] = await worked(page);
    const [gone, later] = [(await jobsIn(page, one)).at(-1) ?? '', (await jobsIn(page, other)).at(-1) ?? ''];
    await issue(1);
    await leaveOut(gone);
    await issue(2);
    await leaveOut(later);

    await page.getByRole('button', { name: /^Plans/ }).click();
    const beside = sheet.getByRole('region', { name: 'Side by side' });
    const table = beside.getByRole('table');
    const heads = () => table.getByRole('columnheader').allInnerTexts();
    const said = () => beside.getByRole('region', { name: 'Changes from the one to the other' }).getByRole('button').allInnerTexts();
    const figure = async () => {
      const row = table.getByRole('row').filter({ hasText: /Total|Jobs planned|Gang-days/ }).first();
      return (await row.getByRole('cell').allInnerTexts()).slice(0, 2);
    };
    await beside.getByLabel('Left').selectOption('Issue 1');
    await beside.getByLabel('Right').selectOption('Issue 2');
    await beside.getByRole('heading', { name: /Issue 1\b.* on the left and Issue 2\b.* on the right/ }).waitFor();
    assert.match((await heads()).slice(1, 3).join(' | '), /^Issue 1\b.* \| Issue 2\b/);
    const changes = await said();
    assert.ok(changes.some((line) => line.startsWith(gone)), changes.join('\n'));
    assert.ok(!changes.some((line) => line.startsWith(later)), 'what the desk did after both is in neither');
    assert.ok((await beside.locator('figure').count()) >= 1, 'what differs is drawn');
    const [left, right] = await figure();
    assert.deepEqual(await axe(page), []);
    await beside.getByLabel('Left').selectOption('Issue 2');
    await beside.getByLabel('Right').selectOption('Issue 1');
    await beside.getByRole('heading', { name: /Issue 2\b.* on the left and Issue 1\b.* on the right/ }).waitFor();
    assert.deepEqual(await figure(), [right, left], 'the other way round');
    assert.ok((await said()).some((line) => line.startsWith(gone)));
    await beside.getByLabel('Right').selectOption('On the desk');
    await beside.getByRole('heading', { name: /Issue 2\b.* on the left and the plan on the desk on the right/ }).waitFor();
    assert.ok((await said()).some((line) => line.startsWith(later)));
    assert.ok(!(await said()).some((line) => line.startsWith(gone)));
    // By keyboard: the selects turn by arrows, and a change leads to its job.
    await beside.getByLabel('Left').focus();
    await page.keyboard.press('ArrowUp');
    await beside.getByRole('heading', { name: /Issue 1\b.* on the left/ }).waitFor();
    await beside.getByRole('button', { name: new RegExp(`^${gone}`) }).focus();
    await page.keyboard.press('Enter');
    await sheet.waitFor({ state: 'detached' });
    await page.getByRole('group', { name: `What to do with ${gone} in the plan` }).waitFor();
  });

  await check('what was issued and is not done stands once the week has moved on: brought over it is planned, done as issued it is done', {}, async (page) => {
    const { plan: before, jobs } = await issueOne(page);
    // One that may be done in any week.
    const { id: job } = jobs.find((/** @type {any} */ one) => one.route !== null && !one.terms.some((/** @type {string} */ term) => term.startsWith('Not ')));
    await weekOn(page);
    const many = new Set(before.columns.flatMap((/** @type {any} */ one) => one.jobs)).size;
    assert.equal((await standing(page)).length, many);
    const note = page.getByRole('note', { name: 'Standing as issued' });
    assert.match(await note.innerText(), new RegExp(`^${many} jobs stand as issued in an earlier week\\. They are not planned again\\.`));
    await titled(page, `, ${many} standing as issued`);
    assert.deepEqual(await axe(page), []);
    // The map has them by a mark of their own.
    await page.waitForFunction(() => /** @type {any} */ (window.__gangday?.map).listImages().some((/** @type {string} */ name) => /^tick--1-.+-stands$/.test(name)), null, { polling: 100 });
    await picture(page, 'standing');
    // One of them is brought over out of its sheet.
    await find(page, job);
    const panel = page.getByRole('region', { name: `Job ${job}`, exact: true });
    await panel.getByText(/^Stands as issued\. It stands as issued with .+ on \w{3} \d Mar, in an earlier week;/).waitFor();
    assert.equal(await panel.getByRole('button', { name: /^Put on the board/ }).count(), 0);
    assert.deepEqual(await axe(page), []);
    await picture(page, 'standing-job');
    await after(page, () => panel.getByRole('button', { name: /^Bring over/ }).click());
    await page.getByText(`${job} is brought over; plan the rest to plan it in this week. Undo takes it back.`).first().waitFor();
    await panel.getByText(/^Not planned\. It stood as issued in an earlier week, and was brought over/).waitFor();
    await panel.getByRole('button', { name: /^Close/ }).click();
    assert.match(await note.innerText(), new RegExp(`^${many - 1} jobs stand`));
    await page.getByRole('button', { name: /^Plan rest/ }).click();
    await planning(page).waitFor();
    await toItsEnd(page);
    assert.ok((await layers(page, job).count()) > 0, 'what was brought over is planned');
    const planned = await page.locator('[data-piece].work').evaluateAll((drawn) => drawn.map((one) => one.getAttribute('data-job')));
    const issued = new Set(before.columns.flatMap((/** @type {any} */ one) => one.jobs));
    assert.deepEqual([...new Set(planned.filter((one) => issued.has(one)))], [job], 'and nothing else of what stands');
    // All the others at once, at the times of the issue.
    await after(page, () => note.getByRole('button', { name: /^All done as issued/ }).click());
    await page.getByText(new RegExp(`^\\d+ stages of ${many - 1} jobs are recorded as done, each when its issue has it end\\. Undo takes it back\\.$`)).first().waitFor();
    assert.equal(await note.count(), 0);
    await titled(page, `, ${many - 1} done before`);
    const { records, undo } = (await ask(page, { ask: 'sheet' })).sheet;
    assert.equal(undo, `record ${many - 1} jobs as done as issued`);
    const column = before.columns.find((/** @type {any} */ one) => one.jobs.some((/** @type {string} */ own) => own !== job));
    const layer = column.layers.find((/** @type {any} */ one) => one.stage && one.job !== job);
    const record = records.find((/** @type {any} */ one) => one.job === layer.job && one.stage === layer.stage);
    assert.deepEqual([record.date, record.at], [column.date, layer.to]);
    await after(page, () => page.keyboard.press('Control+z'));
    assert.match(await note.innerText(), new RegExp(`^${many - 1} jobs stand`));
    // The rest planned again, the one brought over, the week moved on.
    for (let steps = 0; steps < 3; steps++) await after(page, () => page.keyboard.press('Control+z'));
    assert.ok((await layers(page, job).count()) > 0);
    assert.equal(await note.count(), 0);
  });

  await check('what stands as issued is done, or brought over, by keyboard alone, and each is a step that can be taken back', {}, async (page) => {
    await issueOne(page);
    const [key = ''] = await worked(page);
    const [one = '', other = ''] = await jobsIn(page, key);
    await weekOn(page);
    const all = await standing(page);
    const left = async (/** @type {string[]} */ gone) => assert.deepEqual(await standing(page), all.filter((job) => !gone.includes(job)));
    await find(page, one);
    await page.keyboard.press('Escape');
    await after(page, () => page.keyboard.press('V'));
    await page.getByRole('region', { name: `Job ${one}`, exact: true }).getByText(/^Done\. Its work is done/).waitFor();
    await left([one]);
    // By its button, after which the focus is not lost.
    await find(page, other);
    const panel = page.getByRole('region', { name: `Job ${other}`, exact: true });
    await panel.getByRole('button', { name: /^Bring over/ }).focus();
    await after(page, () => page.keyboard.press('Enter'));
    await left([one, other]);
    await page.waitForFunction(() => document.activeElement?.textContent?.startsWith('Close') === true);
    await page.keyboard.press('Escape');
    await after(page, () => page.keyboard.press('B'));
    await left(all);
    // Nothing stands any more: neither key does anything.
    const was = await edition(page);
    await page.keyboard.press('V');
    await page.keyboard.press('?');
    const keys = page.getByRole('dialog', { name: 'Keys and marks' });
    assert.ok(await keys.getByRole('button', { name: /^Bring jobs over that stand as issued/ }).isDisabled());
    await page.keyboard.press('Escape');
    assert.equal(await edition(page), was);
    for (const gone of [[one, other], [one], []]) {
      await after(page, () => page.keyboard.press('Control+z'));
      await left(gone);
    }
    await after(page, () => page.keyboard.press('Control+z'));
    assert.deepEqual(await standing(page), []);
  });

  await check('the week made anew keeps what is locked and what is done; in the week after, what is done is not planned again, and of what was begun the rest', {}, async (page) => {
    const [first = '', second = ''] = await worked(page);
    const [done = '', begun = ''] = await jobsIn(page, first);
    const [locked = ''] = await jobsIn(page, second);
    await layers(page, locked).first().click();
    await after(page, () => page.keyboard.press('k'));
    // All its stages, as the plan has them end; of another job the first.
    const { sheet } = await ask(page, { ask: 'sheet' });
    const column = sheet.plan.columns.find((/** @type {any} */ one) => one.key === first);
    const stagesOf = (/** @type {string} */ job) => column.layers.filter((/** @type {any} */ one) => one.job === job && one.stage);
    const all = stagesOf(begun).map((/** @type {any} */ one) => one.stage);
    for (const layer of [...stagesOf(done), ...stagesOf(begun).slice(0, 1)]) {
      const job = layer.job;
      const at = `${column.date}T${String(Math.floor(layer.to / 60)).padStart(2, '0')}:${String(layer.to % 60).padStart(2, '0')}`;
      await ask(page, { ask: 'record', job, stage: layer.stage, at });
    }
    await page.reload();
    await ready(page);
    const [stood, held] = [await placed(page, done), await placed(page, locked)];
    await page.keyboard.press('p');
    await planning(page).waitFor();
    await page.waitForTimeout(1500);
    await toItsEnd(page);
    assert.deepEqual([await placed(page, done), await placed(page, locked)], [stood, held]);

    // The week moves on, in its form, by keyboard; nothing of what was issued is done in time but what is recorded.
    await issueOne(page);
    await weekOn(page);
    assert.ok((await standing(page)).includes(begun));
    await after(page, () => page.keyboard.press('B'));
    assert.equal(await page.locator('[data-piece].work').count(), 0, 'the board is that of the week after');
    await page.keyboard.press('r');
    await planning(page).waitFor();
    await toItsEnd(page);
    assert.ok((await page.locator('[data-piece].work').count()) > 20);
    assert.equal(await layers(page, done).count(), 0, 'nobody digs it twice');
    assert.deepEqual(await layers(page, begun).evaluateAll((drawn) => drawn.flatMap((one) => one.getAttribute('data-stage') ?? [])), all.slice(1), 'what is left of it');
    await layers(page, begun).first().click();
    const rest = page.getByRole('region', { name: `Job ${begun}`, exact: true });
    await rest.getByRole('list', { name: `Done of ${begun}, not in this week’s plan` }).getByText(/Dig, 01\/03\/2027/).waitFor();
    await rest.getByText(/was begun in an earlier week \(dig done on Mon 1 Mar\); only what is left of it is still to be done/).waitFor();
    assert.deepEqual(await axe(page), []);
    await picture(page, 'begun-before');
    // What nobody wrote down in time is recorded here, by keyboard; what was not planned for it is told.
    const left = await layers(page, begun).evaluateAll((drawn) => drawn.flatMap((one) => one.getAttribute('data-stage') ?? []));
    await rest.getByRole('button', { name: /^Done before this week\?/ }).focus();
    await page.keyboard.press('Enter');
    const form = rest.getByRole('form', { name: `Done of ${begun} before this week` });
    for (const label of ['on', 'at']) {
      const empty = form.getByLabel(label, { exact: true });
      assert.deepEqual([await empty.inputValue(), (await empty.getAttribute('placeholder'))?.slice(0, 5)], ['', 'e.g. '], 'an empty field shows an example and nothing that could be taken for what was written');
    }
    await picture(page, 'done-earlier-empty');
    await page.locator('footer').getByText('now week 10', { exact: true }).waitFor();
    await form.getByLabel('Done up to').selectOption(left[0] ?? '');
    await page.keyboard.press('Tab');
    await page.keyboard.type('8/3/2027');
    await page.keyboard.press('Tab');
    await page.keyboard.type('25:00');
    await page.keyboard.press('Enter');
    await form.getByText('Write a date before 08/03/2027;').waitFor();
    await form.getByText('Write the time as 15:30').waitFor();
    assert.deepEqual(await axe(page), []);
    await picture(page, 'done-earlier');
    await form.getByLabel('on', { exact: true }).fill('2 Mar 2027');
    await form.getByLabel('at', { exact: true }).fill('15:30');
    await after(page, () => page.keyboard.press('Enter'));
    await form.waitFor({ state: 'detached' });
    assert.equal(await layers(page, begun).count(), 0);
    await rest.getByText(/It was begun in an earlier week, and what is left of it is not planned yet/).first().waitFor();
    await after(page, () => page.keyboard.press('Control+z'));
    assert.equal(await layers(page, begun).count(), left.length);
    await page.keyboard.press('/');
    await page.keyboard.type(done);
    await page.keyboard.press('Enter');
    const panel = page.getByRole('region', { name: `Job ${done}` });
    await panel.getByText(/Its work is done; its last stage was recorded on/).waitFor();
    await panel.getByRole('list', { name: `Done of ${done}, not in this week’s plan` }).waitFor();
    assert.deepEqual(await axe(page), []);
    await picture(page, 'done-before');
    await after(page, () => panel.getByRole('button', { name: /^Take back/ }).last().click());
  });

  await check('a gang-day is recorded as done as planned at one press: nothing moves, what was recorded keeps its time, undo takes it back', {}, async (page) => {
    const [key = ''] = await worked(page);
    const jobs = await jobsIn(page, key);
    const before = (await ask(page, { ask: 'sheet' })).sheet;
    // One stage of it ended late.
    const column = before.plan.columns.find((/** @type {any} */ one) => one.key === key);
    const last = column.layers.filter((/** @type {any} */ one) => one.stage).at(-1);
    const late = last.to + 10;
    await ask(page, { ask: 'record', job: last.job, stage: last.stage, at: `${column.date}T${String(Math.floor(late / 60)).padStart(2, '0')}:${String(late % 60).padStart(2, '0')}` });
    await page.reload();
    await ready(page);
    const stood = await all(page, jobs);
    await page.locator(`[data-head="${key}"]`).click();
    const load = page.getByRole('region', { name: 'Load', exact: true });
    const button = load.getByRole('button', { name: /^All (done as planned|that is planned is recorded)/ });
    assert.match(await button.innerText(), /^All done as planned/);
    assert.deepEqual(await axe(page), []);
    await after(page, () => button.click());
    await page.getByText(asPlanned(/^\d+ stages of \d+ jobs are/)).waitFor();
    await picture(page, 'as-planned');
    assert.deepEqual(await all(page, jobs), stood, 'nothing moves');
    const now = (await ask(page, { ask: 'sheet' })).sheet;
    const on = (/** @type {any} */ sheet) => sheet.plan.columns.find((/** @type {any} */ one) => one.key === key).layers.filter((/** @type {any} */ one) => one.stage);
    assert.ok(on(now).every((/** @type {any} */ one) => one.stays === 'done'));
    assert.equal(now.records.length - before.records.length, on(now).length, 'that gang-day and nothing else');
    const kept = now.records.find((/** @type {any} */ one) => one.job === last.job && one.stage === last.stage);
    assert.deepEqual([kept.at, kept.late], [late, 10]);
    assert.match(now.undo, /^record .+, as done as planned$/);
    assert.match(await button.innerText(), /^All that is planned is recorded/);
    assert.equal(await button.getAttribute('aria-disabled'), 'true');
    assert.deepEqual(await axe(page), []);
    await layers(page, jobs[0] ?? '').first().click();
    assert.equal(await page.getByRole('button', { name: /record as done$/ }).count(), 0, 'each stage has its time, to be changed where it stands');
    await after(page, () => page.keyboard.press('Control+z'));
    const back = (await ask(page, { ask: 'sheet' })).sheet;
    assert.equal(back.records.length - before.records.length, 1);
    await page.getByRole('button', { name: /^All done as planned/ }).waitFor();
    await after(page, () => page.keyboard.press('Control+z'));
  });

  await check('jobs and gang-days are recorded as done as planned by keyboard alone, and the focus stays where it is', { refusals: true }, async (page) => {
    const [key = '', other = ''] = await worked(page);
    const focused = () => page.evaluate(() => document.activeElement?.getAttribute('data-head') ?? document.activeElement?.textContent?.trim() ?? '');
    const records = async () => (await ask(page, { ask: 'sheet' })).sheet.records.length;
    const none = await records();
    // Listed with the other keys.
    await page.keyboard.press('?');
    await page.getByRole('dialog', { name: 'Keys and marks' }).getByText(/^Record the selected jobs, the selected gang-day, or else all of the day/).waitFor();
    await page.keyboard.press('Escape');
    await page.keyboard.press('R');
    await page.getByText('Select a job or the heading of a gang-day first, or show a day, then record it as done as planned.').waitFor();
    await page.locator(`[data-head="${key}"]`).focus();
    await page.keyboard.press('Enter');
    await after(page, () => page.keyboard.press('R'));
    await page.getByText(asPlanned(/^\d+ stages of \d+ jobs are/)).waitFor();
    assert.equal(await focused(), key, 'the focus stays on the heading');
    const ofDay = await records();
    assert.ok(ofDay > none);
    // Again there is nothing left, and that is said.
    await page.keyboard.press('R');
    await page.getByText(/^Nothing is left to record: every stage planned for/).waitFor();
    assert.equal(await records(), ofDay);
    await page.keyboard.press('Escape');
    await after(page, () => page.keyboard.press('Control+z'));
    assert.equal(await records(), none);
    // Several jobs, by their button.
    const [one = '', two = ''] = await jobsIn(page, other);
    await layers(page, one).first().focus();
    await page.keyboard.press('Enter');
    await layers(page, two).first().focus();
    await page.keyboard.press('Control+Enter');
    const panel = page.getByRole('region', { name: 'Selected jobs', exact: true });
    await panel.getByRole('heading', { name: '2 jobs selected' }).waitFor();
    await panel.getByRole('button', { name: /^All done as planned/ }).focus();
    await after(page, () => page.keyboard.press('Enter'));
    await page.getByText(asPlanned(/^\d+ stages of 2 jobs are/)).waitFor();
    assert.match(await focused(), /^All that is planned is recorded/);
    assert.deepEqual(await axe(page), []);
    await picture(page, 'as-planned-several');
    for (const job of [one, two]) for (const layer of await layers(page, job).all()) assert.match((await layer.getAttribute('aria-label')) ?? '', /, done$/);
  });
});

finish(failed);
