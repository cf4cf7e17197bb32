// @ts-check
/** Carrying on the board in a real Chromium: what was picked up by a button or a key goes with the pointer and down by a click; several jobs at once. */
import assert from 'node:assert/strict';
import { after, answered, changed, edition, hand, jobsIn, layers, routeOf, twice, worked } from './board.mjs';
import { mapDrawn, selected } from './browser.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */

/** A point in a gang-day, a bit below its head. @returns {Promise<[number, number]>} */
async function pointIn(/** @type {Page} */ page, /** @type {string} */ key, down = 0.3) {
  const box = await page.locator(`[data-route="${key}"]`).boundingBox();
  assert.ok(box);
  return [box.x + box.width / 3, box.y + box.height * down];
}

/** Points at a gang-day, no button held, and waits for what would become of it. */
async function pointAt(/** @type {Page} */ page, /** @type {string} */ key, down = 0.3) {
  const [x, y] = await pointIn(page, key, down);
  await page.mouse.move(x, y, { steps: 4 });
  await answered(page, /: (£|costs)/).waitFor();
}

/** Clicks where the pointer is; where that breaks a rule, once more. Waits for the sheet after it. */
async function clickDown(/** @type {Page} */ page, /** @type {string} */ key) {
  const before = await edition(page);
  const [x, y] = await pointIn(page, key);
  await page.mouse.click(x, y);
  await Promise.race([changed(page, before), twice(page).waitFor()]);
  if (await twice(page).isVisible()) {
    assert.equal(await edition(page), before, 'what breaks a rule is not done by one click');
    await page.mouse.click(x, y);
  }
  await changed(page, before);
  await hand(page).waitFor({ state: 'detached' });
}

const undo = (/** @type {Page} */ page) => after(page, () => page.getByRole('button', { name: /^Undo/ }).click());

const failed = await suite(async (check) => {
  await check('by mouse: a day is split by its button, shown where the pointer is, put down by a click, taken back', {}, async (page) => {
    const [from = '', to = ''] = await worked(page);
    const jobs = await jobsIn(page, from);
    const rest = jobs.slice(1);
    await layers(page, rest[0] ?? '').first().click();
    const before = await edition(page);
    await page.getByRole('button', { name: /^Split the day here/ }).click();
    const said = await hand(page).getByRole('status').innerText();
    assert.match(said, /click/, 'the hint says how by mouse');
    assert.match(said, /Enter/, 'and how by keyboard');
    await pointAt(page, to);
    assert.deepEqual(await Promise.all(rest.map((job) => routeOf(page, job))), rest.map(() => to), 'the board shows them there');
    assert.equal(await edition(page), before, 'nothing is changed by pointing');
    await clickDown(page, to);
    assert.equal(await routeOf(page, jobs[0] ?? ''), from, 'what comes before stays');
    assert.deepEqual(await Promise.all(rest.map((job) => routeOf(page, job))), rest.map(() => to));
    await undo(page);
    assert.deepEqual(await jobsIn(page, from), jobs);
  });

  await check('by mouse: several jobs boxed on the map are picked up, carried and put down, and taken back', {}, async (page) => {
    await mapDrawn(page);
    await page.getByRole('button', { name: /^Box/ }).click();
    const map = await page.locator('.map').first().boundingBox();
    assert.ok(map);
    await page.mouse.move(map.x + 400, map.y + 120);
    await page.mouse.down();
    await page.mouse.move(map.x + 640, map.y + 240, { steps: 4 });
    await page.mouse.up();
    await page.getByRole('heading', { name: /^\d+ jobs selected/ }).waitFor();
    const { ids } = /** @type {{ ids: string[] }} */ (await selected(page));
    const planned = (await Promise.all(ids.map(async (id) => [id, await routeOf(page, id)]))).filter(([, route]) => route !== null);
    assert.ok(planned.length > 2, `${planned.length} of ${ids.length} are on the board`);
    await page.getByRole('button', { name: /^Pick up all/ }).click();
    const to = (await worked(page))[1] ?? '';
    await pointAt(page, to);
    await clickDown(page, to);
    for (const id of ids) assert.equal(await routeOf(page, id), to, `${id} is there`);
    await undo(page);
    for (const [id, route] of planned) assert.equal(await routeOf(page, id ?? ''), route, `${id} is back`);
  });

  await check('by mouse: a gang-day that was picked up changes places with the one that is clicked, and is taken back', {}, async (page) => {
    const [one = '', , other = ''] = await worked(page);
    const [a, b] = [await jobsIn(page, one), await jobsIn(page, other)];
    await page.locator(`[data-head="${one}"]`).click();
    await page.keyboard.press('x');
    await pointAt(page, other);
    await picture(page, 'days-changing-places');
    await clickDown(page, other);
    assert.deepEqual([(await jobsIn(page, one)).sort(), (await jobsIn(page, other)).sort()], [b.sort(), a.sort()]);
    await undo(page);
    assert.deepEqual([(await jobsIn(page, one)).sort(), (await jobsIn(page, other)).sort()], [a.sort(), b.sort()]);
  });

  await check('by mouse: what is pointed at elsewhere goes there, what is clicked against a rule waits for the same place, and is let go by its button', {}, async (page) => {
    const [from = '', over = '', other = ''] = await worked(page);
    const job = (await jobsIn(page, from))[0] ?? '';
    const before = await edition(page);
    await layers(page, job).first().click();
    await page.getByRole('button', { name: /^Pick up/ }).click();
    await pointAt(page, over);
    await pointAt(page, other);
    assert.equal(await routeOf(page, job), other);
    await page.mouse.click(...(await pointIn(page, other)));
    await twice(page).waitFor();
    const [x, y] = await pointIn(page, over);
    await page.mouse.move(x, y, { steps: 4 });
    assert.equal(await routeOf(page, job), other, 'while it waits it follows nobody');
    // Another place than the one that waits is asked about anew, and not taken for the second click.
    await page.mouse.click(x, y);
    await page.waitForFunction((key) => document.querySelector(`[data-route="${key}"].over`) !== null, over);
    await twice(page).waitFor();
    assert.equal(await edition(page), before);
    // The way to the buttons leads over headings and past the board's edge, and loses nothing.
    await hand(page).getByRole('button', { name: /^Let go/ }).click();
    await hand(page).waitFor({ state: 'detached' });
    assert.equal(await routeOf(page, job), from);
    assert.equal(await edition(page), before);
  });

  await check('by mouse and keys: the pointer beside the board leaves what is carried where it was, to be put down by Enter or its button', {}, async (page) => {
    const [from = '', to = ''] = await worked(page);
    const job = (await jobsIn(page, from))[0] ?? '';
    await layers(page, job).first().click();
    await page.getByRole('button', { name: /^Pick up/ }).click();
    await pointAt(page, to);
    await page.mouse.move((await pointIn(page, to))[0], 200, { steps: 12 });
    await answered(page, /: (£|costs)/).waitFor();
    await hand(page).getByRole('button', { name: /^Put down/ }).waitFor();
    assert.equal(await routeOf(page, job), to);
    const before = await edition(page);
    await page.keyboard.press('Enter');
    await Promise.race([changed(page, before), twice(page).waitFor()]);
    if (await twice(page).isVisible()) await twice(page).click();
    await changed(page, before);
    assert.equal(await routeOf(page, job), to);
    await undo(page);
    await layers(page, job).first().click();
    await page.getByRole('button', { name: /^Pick up/ }).click();
    await pointAt(page, to);
    await page.keyboard.press('Escape');
    await hand(page).waitFor({ state: 'detached' });
    assert.equal(await routeOf(page, job), from);
  });

  await check('by touch: what was picked up by its button goes where the board is touched', { touch: true }, async (page) => {
    const [from = '', to = ''] = await worked(page);
    const rest = (await jobsIn(page, from)).slice(1);
    await layers(page, rest[0] ?? '').first().tap();
    await page.getByRole('button', { name: /^Split the day here/ }).tap();
    const before = await edition(page);
    const [x, y] = await pointIn(page, to);
    await page.touchscreen.tap(x, y);
    await Promise.race([changed(page, before), twice(page).waitFor()]);
    // Who has read what it breaks taps again; a double tap says it once.
    if (await twice(page).isVisible()) await page.waitForTimeout(1000).then(() => page.touchscreen.tap(x, y));
    await changed(page, before);
    assert.equal(await routeOf(page, rest[0] ?? ''), to);
    await after(page, () => page.getByRole('button', { name: /^Undo/ }).tap());
    assert.equal(await routeOf(page, rest[0] ?? ''), from);
  });

  await check('a pointer at rest carries nothing: arrows carry on under it', {}, async (page) => {
    const [from = '', to = ''] = await worked(page);
    const job = (await jobsIn(page, from))[0] ?? '';
    await layers(page, job).first().click();
    await page.keyboard.press('x');
    for (let i = 0; i < 3; i++) await page.keyboard.press('ArrowRight');
    await answered(page, /^Move/).waitFor();
    await page.waitForTimeout(400);
    const at = await routeOf(page, job);
    assert.notEqual(at, from);
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('ArrowLeft');
    await answered(page, /^Move/).waitFor();
    await page.waitForTimeout(400);
    assert.equal(await routeOf(page, job), to);
    await page.keyboard.press('Escape');
  });

  for (const [how, options, larger] of /** @type {const} */ ([
    ['plain text at 1280 by 800', {}, 0],
    ['the largest text at 1280 by 800', {}, 4],
    ['the largest text at 960 by 640, dark', { width: 960, height: 640, scheme: 'dark' }, 4],
  ]))
    await check(`with every job in hand all that is said stays in the window, its buttons in reach, each rule told once, ${how}`, options, async (page) => {
      for (let i = 0; i < larger; i++) await page.keyboard.press('+');
      await mapDrawn(page);
      await page.keyboard.press('a');
      await page.getByRole('heading', { name: /^\d+ jobs selected/ }).waitFor();
      await page.keyboard.press('x');
      await page.keyboard.press('ArrowRight');
      await answered(page, /breaks \d+ rules/).waitFor();
      const seen = await hand(page).evaluate((panel) => {
        const { top, bottom, left, right } = panel.getBoundingClientRect();
        const reached = [...panel.querySelectorAll('header button, header .words')].map((one) => {
          const box = one.getBoundingClientRect();
          const at = document.elementFromPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2);
          return at !== null && (one === at || one.contains(at));
        });
        const all = (/** @type {string} */ which) => [...panel.querySelectorAll(which)].map((one) => one.textContent ?? '');
        const detail = panel.querySelector('.detail');
        return { top, bottom, left, right, reached, rules: all('.rules li'), days: all('.days li'), scrolls: detail !== null && detail.scrollHeight > detail.clientHeight };
      });
      const size = page.viewportSize();
      assert.ok(size && seen.top >= 0 && seen.left >= 0 && seen.bottom <= size.height && seen.right <= size.width, JSON.stringify(seen));
      assert.equal(seen.reached.length, 3);
      assert.deepEqual(seen.reached, [true, true, true], 'its words and both buttons are in reach');
      assert.equal(new Set(seen.rules).size, seen.rules.length, 'no rule is told twice');
      assert.ok(seen.rules.length <= 13 && seen.days.length <= 11, `${seen.rules.length} rules, ${seen.days.length} gang-days`);
      assert.ok(seen.rules.some((rule) => /for J\d+ and J\d+|J\d+, J\d+, J\d+.* more jobs/.test(rule)), seen.rules.join('\n'));
      assert.ok(seen.days.some((day) => /and \d+ more gang-days/.test(day)), seen.days.join('\n'));
      assert.ok(seen.scrolls, 'what doesn’t fit scrolls');
      // Of a gang-day with every job in it, layers are as thin as its time is; the same is in the list beside it.
      assert.deepEqual((await axe(page)).filter((line) => !line.startsWith('target-size')), []);
      await hand(page).getByRole('button', { name: /^Let go/ }).click();
      await hand(page).waitFor({ state: 'detached' });
    });

  await check('by mouse: Ctrl adds jobs and takes them away, Shift takes all between, a drag carries all of them', { refusals: true }, async (page) => {
    const [one = '', other = '', third = ''] = await worked(page);
    const [a, b] = [await jobsIn(page, one), await jobsIn(page, other)];
    assert.ok(a.length >= 3 && b.length >= 2);
    const ids = async () => [...((await selected(page)).ids ?? [(await selected(page)).id])].sort();
    const click = (/** @type {string | undefined} */ job, /** @type {('Control' | 'Shift')[]} */ modifiers) => layers(page, job ?? '').first().click({ modifiers });
    await click(a[0], []);
    await click(b[0], ['Control']);
    await click(b[1], ['Control']);
    assert.deepEqual(await ids(), [a[0], b[0], b[1]].sort());
    await click(b[0], ['Control']);
    assert.deepEqual(await ids(), [a[0], b[1]].sort());
    await page.getByRole('heading', { name: '2 jobs selected' }).waitFor();
    await click(a[0], []);
    assert.deepEqual(await ids(), [a[0]], 'a plain click selects one alone');
    await click(a.at(-1), ['Shift']);
    assert.deepEqual(await ids(), [...a].sort(), 'all between, and both ends');
    assert.equal(await layers(page, a[1] ?? '').first().getAttribute('aria-pressed'), 'true');
    const list = page.getByRole('region', { name: 'Selected jobs', exact: true });
    await list.getByRole('button', { name: a[1], exact: true }).click({ modifiers: ['Control'] });
    assert.deepEqual(await ids(), a.filter((id) => id !== a[1]).sort(), 'the list takes one away too');
    await click(a[1], ['Control']);

    const before = await edition(page);
    const from = await layers(page, a[1] ?? '').first().boundingBox();
    assert.ok(from);
    await page.mouse.move(from.x + 6, from.y + from.height / 2);
    await page.mouse.down();
    await page.mouse.move(from.x + 20, from.y + 20, { steps: 3 });
    const [x, y] = await pointIn(page, third);
    await page.mouse.move(x, y, { steps: 4 });
    await answered(page, new RegExp(`^Move ${a.length} jobs`)).waitFor();
    for (const id of a) assert.equal(await routeOf(page, id), third);
    await page.keyboard.press('Escape');
    await page.mouse.up();
    assert.equal(await edition(page), before);
  });

  await check('by keyboard: Ctrl and Enter or Space add jobs and take them away, Shift and Enter takes all between, x carries all of them', {}, async (page) => {
    const [one = '', , , to = ''] = await worked(page);
    const jobs = await jobsIn(page, one);
    const ids = async () => [...((await selected(page)).ids ?? [(await selected(page)).id])].sort();
    const on = async (/** @type {string | undefined} */ job, /** @type {string} */ keys) => {
      await layers(page, job ?? '').first().focus();
      await page.keyboard.press(keys);
    };
    await on(jobs[0], 'Control+Enter');
    await on(jobs[1], 'Control+Space');
    assert.deepEqual(await ids(), jobs.slice(0, 2).sort());
    await on(jobs[0], 'Control+Space');
    assert.deepEqual(await ids(), [jobs[1]]);
    await on(jobs[0], 'Enter');
    await on(jobs.at(-1), 'Shift+Enter');
    assert.deepEqual(await ids(), [...jobs].sort());
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute('data-job')), jobs.at(-1), 'the focus stays');
    await page.keyboard.press('x');
    await hand(page).waitFor();
    for (let i = 0; i < 9 && (await routeOf(page, jobs[0] ?? '')) !== to; i++) {
      await page.keyboard.press('ArrowRight');
      await answered(page, new RegExp(`^Move ${jobs.length} jobs`)).waitFor();
    }
    for (const id of jobs) assert.equal(await routeOf(page, id), to);
    await page.keyboard.press('Escape');
    await page.keyboard.press('?');
    assert.match(await page.getByRole('dialog', { name: 'Keys and marks' }).innerText(), /ctrl enter\s+Add a job to those selected/);
    await page.keyboard.press('Escape');
  });

  const press = (/** @type {Page} */ page, /** @type {RegExp} */ name) => page.getByRole('region', { name: 'Selected jobs', exact: true }).getByRole('button', { name }).click();
  /** By the system's chords, or by what the sheet of the selected jobs, or else the list of keys, has for the mouse. @type {Record<string, Record<'copy' | 'cut' | 'paste', (page: Page) => Promise<void>>>} */
  const COPYING = {
    keyboard: { copy: (page) => page.keyboard.press('Control+c'), cut: (page) => page.keyboard.press('Control+x'), paste: (page) => page.keyboard.press('Control+v') },
    mouse: {
      copy: (page) => press(page, /^Copy/),
      cut: (page) => press(page, /^Cut/),
      paste: async (page) => {
        await page.getByRole('button', { name: /^Keys/ }).click();
        await page.getByRole('dialog', { name: 'Keys and marks' }).getByRole('button', { name: /^Paste copied jobs/ }).click();
      },
    },
  };
  for (const [how, pick] of /** @type {[string, (page: Page, jobs: string[]) => Promise<void>][]} */ ([
    ['keyboard', async (page, jobs) => {
      for (const job of jobs) {
        await layers(page, job).first().focus();
        await page.keyboard.press('Control+Enter');
      }
    }],
    ['mouse', async (page, jobs) => {
      for (const job of jobs) await layers(page, job).first().click({ modifiers: ['Control'] });
    }],
  ])) {
    const { copy, cut, paste } = /** @type {(typeof COPYING)[string]} */ (COPYING[how]);
    await check(`several jobs are copied and pasted, cut and pasted, deleted and brought back, selected by ${how}`, {}, async (page) => {
      const [one = '', other = ''] = await worked(page);
      const jobs = [(await jobsIn(page, one))[0] ?? '', ...(await jobsIn(page, other)).slice(0, 2)];
      const said = (/** @type {RegExp} */ words) => page.getByRole('status').filter({ hasText: words }).first().waitFor();
      const of = async () => Number(/of (\d+) jobs/.exec(await page.locator('footer').innerText())?.[1]);
      const all = await of();
      await pick(page, jobs);
      await page.getByRole('heading', { name: '3 jobs selected' }).waitFor();
      await copy(page);
      await said(/^3 jobs copied/);
      await after(page, () => paste(page));
      await said(/^3 jobs pasted/);
      assert.equal(await of(), all + 3);
      const { ids } = /** @type {{ ids: string[] }} */ (await selected(page));
      assert.equal(ids.length, 3, 'what was pasted is selected');
      assert.ok(ids.every((id) => !jobs.includes(id)));
      if (how === 'mouse') await picture(page, 'pasted');
      await after(page, () => page.keyboard.press('Control+z'));
      assert.equal(await of(), all);

      await page.keyboard.press('Escape');
      await pick(page, jobs);
      await after(page, () => cut(page));
      await said(/^3 jobs cut/);
      assert.equal(await of(), all - 3);
      for (const job of jobs) assert.equal(await layers(page, job).count(), 0, `${job} has gone`);
      await after(page, () => paste(page));
      assert.equal(await of(), all);
      await after(page, () => page.keyboard.press('Control+z'));
      await after(page, () => page.keyboard.press('Control+z'));
      for (const job of jobs) assert.ok((await layers(page, job).count()) > 0, `${job} is back`);

      await pick(page, jobs);
      const remove = page.getByRole('region', { name: 'Selected jobs', exact: true }).getByRole('button', { name: /^Delete/ });
      await after(page, () => (how === 'mouse' ? remove.click() : page.keyboard.press('Delete')));
      await said(/^3 jobs deleted/);
      assert.equal(await of(), all - 3);
      await after(page, () => page.keyboard.press('Control+z'));
      assert.equal(await of(), all);
    });
  }

  await check('all jobs that are not planned are selected at once, and carried onto the board', {}, async (page) => {
    await page.getByRole('button', { name: 'Select all that are not planned' }).click();
    const { ids } = /** @type {{ ids: string[] }} */ (await selected(page));
    assert.ok(ids.length > 2);
    for (const id of ids) assert.equal(await routeOf(page, id), null);
    await page.getByRole('button', { name: /^Pick up all/ }).click();
    const to = (await worked(page))[0] ?? '';
    await pointAt(page, to);
    assert.ok((await jobsIn(page, to)).filter((id) => ids.includes(id)).length > 2, 'the board shows them');
    await picture(page, 'several-in-hand');
    await page.keyboard.press('Escape');
  });

  await check('a double click, or Enter kept down, makes nothing that breaks a rule', {}, async (page) => {
    const [from = '', ...others] = await worked(page);
    await layers(page, (await jobsIn(page, from))[0] ?? '').first().click();
    await page.keyboard.press('x');
    const before = await edition(page);
    for (const key of others) {
      await pointAt(page, key);
      if (await hand(page).getByRole('list', { name: 'Rules that it breaks' }).isVisible()) break;
    }
    const [x, y] = await page.evaluate(() => [...document.querySelectorAll('.over')].map((one) => one.getBoundingClientRect()).map((box) => [box.x + box.width / 3, box.y + box.height * 0.3])[1] ?? [0, 0]);
    await page.mouse.dblclick(x ?? 0, y ?? 0);
    await twice(page).waitFor();
    await page.waitForTimeout(300);
    assert.equal(await edition(page), before, 'nobody could have read what it breaks');
    await page.mouse.move(4, 4);
    await page.keyboard.press('Escape');
    await page.locator(`[data-head="${from}"]`).hover();
    await layers(page, (await jobsIn(page, from))[0] ?? '').first().focus();
    await page.keyboard.press('x');
    await page.keyboard.press('ArrowRight');
    await answered(page, /: (£|costs)/).waitFor();
    for (let steps = 0; steps < 8 && !(await hand(page).getByRole('list', { name: 'Rules that it breaks' }).isVisible()); steps++) {
      await page.keyboard.press('ArrowRight');
      await answered(page, /: (£|costs)/).waitFor();
    }
    await page.keyboard.down('Enter');
    await twice(page).waitFor();
    for (let i = 0; i < 3; i++) await page.keyboard.down('Enter');
    await page.keyboard.up('Enter');
    await page.waitForTimeout(300);
    assert.equal(await edition(page), before);
    await page.keyboard.press('Escape');
  });

  await check('what is in hand is let go where the week it was picked up from is taken back', {}, async (page) => {
    const [from = ''] = await worked(page);
    const job = (await jobsIn(page, from))[0] ?? '';
    await layers(page, job).first().click();
    await after(page, () => page.getByRole('button', { name: 'Leave out' }).click());
    const [next = ''] = await worked(page);
    await layers(page, (await jobsIn(page, next))[0] ?? '').first().focus();
    await page.keyboard.press('x');
    await page.keyboard.press('ArrowRight');
    await answered(page, /: (£|costs)/).waitFor();
    const before = await edition(page);
    await after(page, () => page.keyboard.press('z'));
    await hand(page).waitFor({ state: 'detached' });
    assert.equal(await edition(page), before + 1, 'and nothing else is done');
  });
});

finish(failed);
