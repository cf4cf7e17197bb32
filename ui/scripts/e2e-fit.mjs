// @ts-check
/** What has to fit in a real Chromium: nothing covered or cut at the largest text, and a week on the board whatever its jobs are called. */
import assert from 'node:assert/strict';
import { after, answered, hand, jobsIn, layers, worked } from './board.mjs';
import { mapDrawn } from './browser.mjs';
import { axe, finish, picture, suite } from './harness.mjs';

/** @typedef {import('playwright-core').Page} Page */

/** The buttons of the title block, the board's head and the bars above the map, and the words beside them: which of them something else lies over, or are cut off. */
const covered = (/** @type {Page} */ page) =>
  page.evaluate(() => {
    const all = [...document.querySelectorAll('footer button, [aria-label="Board of gang-days"] > header button, .bar button, .bar p, .bar input, .tools .row button')].filter((one) => one.getBoundingClientRect().width > 1);
    const wrong = all.flatMap((one) => {
      const box = one.getBoundingClientRect();
      const at = document.elementFromPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2);
      const cut = one.scrollWidth > one.clientWidth + 1 || box.left < 0 || box.top < 0 || box.right > innerWidth || box.bottom > innerHeight;
      const reached = at !== null && (one === at || one.contains(at) || (one.matches('p') && at.contains(one)));
      return reached && !cut ? [] : [`${one.textContent?.trim() || one.getAttribute('aria-label')} ${cut ? 'is cut' : 'is covered'} at ${Math.round(box.left)}–${Math.round(box.right)}, ${Math.round(box.top)}–${Math.round(box.bottom)}`];
    });
    // Their edges too: what shows only its middle is covered as well.
    const beside = document.querySelector('.notes')?.getBoundingClientRect().left ?? innerWidth;
    const under = all.filter((one) => one.closest('.notes') === null && one.getBoundingClientRect().right > beside).map((one) => `${one.textContent?.trim()} reaches under the notes`);
    return { count: all.length, wrong: [...wrong, ...under] };
  });

/** The hours on the ruler that are printed over one another. */
const crowded = (/** @type {Page} */ page) =>
  page.evaluate(() => {
    const boxes = [...document.querySelectorAll('.ruler .staff span')].map((one) => ({ text: one.textContent, ...one.getBoundingClientRect().toJSON() })).sort((a, b) => a.top - b.top);
    return { count: boxes.length, wrong: boxes.slice(1).filter((one, i) => one.top < boxes[i].bottom - 1).map((one) => one.text) };
  });

/** The fields of a form whose text is cut, and what is looked at; an address or a list of tickets may be longer than any field. */
const cutFields = (/** @type {Page} */ page, /** @type {string} */ within) =>
  page.evaluate((where) => {
    const all = [.../** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll(`${where} :is(input[type=text], textarea)`))].filter((one) => one.getBoundingClientRect().width > 1 && one.value !== '');
    return { count: all.length, wrong: all.filter((one) => one.scrollWidth > one.clientWidth).map((one) => `${one.getAttribute('aria-label') ?? one.id}: ${one.value} takes ${one.scrollWidth} of ${one.clientWidth} px`) };
  }, within);

const failed = await suite(async (check) => {
  for (const [width, height] of /** @type {const} */ ([[1280, 800], [960, 640]]))
    for (const scheme of ['light', 'dark'])
      await check(`at the largest text nothing is covered or cut: every button of title block, board and map, ${width} by ${height}, ${scheme}`, { width, height, scheme }, async (page) => {
        for (let i = 0; i < 4; i++) await page.keyboard.press('+');
        await mapDrawn(page);
        for (const act of ['w', '3', 'b', 'b', 'w']) {
          await page.keyboard.press(act);
          await page.waitForTimeout(200);
          const { count, wrong } = await covered(page);
          assert.ok(count >= 25, `${count} looked at`);
          assert.deepEqual(wrong, [], `after ${act}`);
        }
        const days = page.getByRole('group', { name: 'Which days' }).getByRole('button');
        await days.last().click();
        assert.equal(await days.last().getAttribute('aria-pressed'), 'true', 'the last day is one click away');
        assert.match(await days.last().innerText(), /Fri/);
        // A layer is as tall as it lasts; the same can be picked in the list of its gang-day.
        assert.deepEqual((await axe(page)).filter((line) => !/^target-size.*data-piece/.test(line)), []);
        await page.keyboard.press('w');
        // A gang-day is drawn whole, its foot in the window.
        const foot = await page.locator('[data-route]').first().evaluate((one) => one.getBoundingClientRect().bottom);
        assert.ok(foot <= height, `${foot} of ${height}`);
      });

  for (const [width, height] of /** @type {const} */ ([[1280, 800], [960, 640]]))
    await check(`at the largest text what stands in a field is seen whole: form of a job, gangs, the week, ${width} by ${height}`, { width, height }, async (page) => {
      for (let i = 0; i < 4; i++) await page.keyboard.press('+');
      await mapDrawn(page);
      await layers(page, (await jobsIn(page, (await worked(page))[0] ?? ''))[0] ?? '').first().click();
      await page.keyboard.press('E');
      await page.waitForFunction(() => document.activeElement?.id === 'field-work');
      const job = await cutFields(page, '[aria-label^="What "][aria-label$=" states"]');
      assert.ok(job.count >= 8, `${job.count} looked at`);
      assert.deepEqual(job.wrong, []);
      // Three lines of notes, at whatever size of text.
      const notes = page.locator('#field-notes');
      assert.ok((await notes.evaluate((one) => one.clientHeight / parseFloat(getComputedStyle(one).lineHeight))) >= 3);
      await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
      await page.keyboard.press('D');
      await page.getByLabel('G1: Name').waitFor();
      await page.waitForFunction(() => /** @type {HTMLInputElement | null} */ (document.querySelector('[aria-label="G1: shift ends"]'))?.value !== '');
      const gangs = await cutFields(page, 'dialog');
      assert.ok(gangs.count >= 20, `${gangs.count} looked at`);
      assert.deepEqual(gangs.wrong, []);
      await picture(page, `gangs-largest-${width}`);
      await page.keyboard.press('Escape');
      await page.keyboard.press('W');
      await page.waitForFunction(() => document.activeElement?.id === 'week-name');
      const week = await cutFields(page, 'dialog');
      assert.ok(week.count >= 8, `${week.count} looked at`);
      assert.deepEqual(week.wrong, []);
    });

  for (const larger of [0, 4])
    await check(`hours on the ruler stand apart, also where a far carry stretches the day, ${larger === 0 ? 'plain' : 'largest'} text`, {}, async (page) => {
      for (let i = 0; i < larger; i++) await page.keyboard.press('+');
      await mapDrawn(page);
      const before = await crowded(page);
      assert.ok(before.count > 3);
      assert.deepEqual(before.wrong, []);
      await page.keyboard.press('a');
      await page.getByRole('heading', { name: /^\d+ jobs selected/ }).waitFor();
      await page.keyboard.press('x');
      await page.keyboard.press('ArrowRight');
      await answered(page, /breaks \d+ rules/).waitFor();
      await page.waitForFunction((was) => document.querySelector('.ruler .staff span')?.textContent !== was, '07:00');
      const then = await crowded(page);
      assert.ok(then.count > 1);
      assert.deepEqual(then.wrong, []);
      await page.keyboard.press('Escape');
      await hand(page).waitFor({ state: 'detached' });
    });

  await check('one long job id leaves the week as wide as it was; its mark is short, and its whole id is told', {}, async (page) => {
    const [first = ''] = await worked(page);
    const job = (await jobsIn(page, first))[0] ?? '';
    const wide = () => page.locator(`[data-route="${first}"]`).evaluate((one) => one.getBoundingClientRect().width);
    const overflow = () => page.locator('.field').evaluate((one) => one.scrollWidth - one.clientWidth);
    const [before, over] = [await wide(), await overflow()];
    assert.ok(over <= 0, 'the whole week is in view');
    const long = 'PRG/2027/0012345-A';
    await layers(page, job).first().click();
    await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
    await page.keyboard.press('N');
    await page.waitForFunction(() => document.activeElement?.id === 'field-id');
    await page.keyboard.press('Control+a');
    await page.keyboard.type(long);
    await after(page, () => page.keyboard.press('Tab'));
    assert.equal(await wide(), before);
    assert.ok((await overflow()) <= 0);
    const layer = layers(page, long).first();
    assert.match((await layer.getAttribute('title')) ?? '', new RegExp(long));
    assert.match((await layer.getAttribute('aria-label')) ?? '', new RegExp(long));
    const mark = layer.locator('span.figures');
    assert.ok((await mark.innerText()).length <= 3, await mark.innerText());
    const [text, body] = [await mark.boundingBox(), await layer.boundingBox()];
    assert.ok(text && body && text.x + text.width <= body.x + body.width + 1, 'it stays within its layer');
    await page.evaluate(() => /** @type {HTMLElement | null} */ (document.activeElement)?.blur());
    await after(page, () => page.keyboard.press('z'));
  });
});

finish(failed);
