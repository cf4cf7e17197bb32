// @ts-check
/**
 * How smoothly a board of many gang-days moves, and how soon it shows what a carry would do.
 *
 * `node scripts/board-frames.mjs [GANGS]`; the page must have been built. The sheet is made up, five days of two or three jobs for each gang; the answers come at once, so that
 * what is measured is the page alone. Prints milliseconds.
 */
import { loadavg } from 'node:os';
import { sheet } from '../tests/fixture.mjs';
import { launch, openPage } from './browser.mjs';
import { serve } from './fixture-door.mjs';

const GANGS = Number(process.argv[2] ?? 800);
const week = sheet({ gangs: GANGS });

/** Scrolls along the board as a hand does, 60 px with every frame. It runs in the page. */
async function across() {
  const field = /** @type {HTMLElement} */ (document.querySelector('.field'));
  const frames = [];
  let last = performance.now();
  for (let at = 0; at < 200; at++) {
    field.scrollLeft = at * 60;
    const now = await new Promise((drawn) => requestAnimationFrame(drawn));
    frames.push(Number(now) - last);
    last = Number(now);
  }
  return frames.slice(2);
}

/** Carries what is in hand from gang-day to gang-day and times each from the key to the frame that shows it. It runs in the page. */
async function carry() {
  const times = [];
  const said = () => document.querySelector('[aria-label="In hand"] .words')?.textContent ?? '';
  for (let i = 0; i < 40; i++) {
    const before = said();
    const begun = performance.now();
    document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true }));
    while (said() === before) await new Promise((drawn) => requestAnimationFrame(drawn));
    await new Promise((drawn) => requestAnimationFrame(drawn));
    times.push(performance.now() - begun);
  }
  return times;
}

function told(/** @type {string} */ name, /** @type {number[]} */ all) {
  const sorted = [...all].sort((a, b) => a - b);
  const at = (/** @type {number} */ part) => (sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * part))] ?? 0).toFixed(1);
  console.log(`${name.padEnd(28)} ${all.length}, median ${at(0.5)} ms, 95 % ${at(0.95)}, longest ${at(1)}`);
}

const door = await serve({ sheet: week });
const browser = await launch();
const begun = Date.now();
const { page } = await openPage(browser, { address: door.address, motion: 'no-preference' });
await page.locator('[data-piece]').first().waitFor();
console.log(`${week.jobs.length.toLocaleString('en-GB')} jobs in ${week.plan?.columns.length.toLocaleString('en-GB')} gang-days, 1280 × 800, load ${loadavg()[0]?.toFixed(1)}; drawn ${Date.now() - begun} ms after it was asked for`);
console.log(`${await page.locator('[data-route]').count()} gang-days and ${await page.locator('[data-piece]').count()} layers are in the page`);
told('frames while scrolling', await page.evaluate(across));
await page.evaluate(() => (/** @type {HTMLElement} */ (document.querySelector('.field')).scrollLeft = 0));
await page.waitForTimeout(500);
await page.locator('[data-piece].work[data-job]').first().focus();
await page.keyboard.press('x');
told('from key to carry drawn', await page.evaluate(carry));
if (process.env.SHOT) await page.screenshot({ path: process.env.SHOT });
await browser.close();
door.close();
process.exit(0);
