// @ts-check
/**
 * How smoothly a board of many gang-days moves, and how soon it shows what a carry would do.
 *
 * `node scripts/board-frames.mjs [GANGS | PROGRAMME]`; the page must have been built. Of a number of gangs the sheet is made up, five days of two or three jobs for each, and the
 * answers come at once, so that what is measured is the page alone. A programme (a folder with a plan, or a file) is opened by the program itself, which `GANGDAY` names where it is
 * not `target/debug/gangday`, or which runs already at `GANGDAY_URL`; then the desk's answers are measured with it. Prints milliseconds.
 */
import { loadavg } from 'node:os';
import { sheet } from '../tests/fixture.mjs';
import { launch, openPage } from './browser.mjs';
import { serve } from './fixture-door.mjs';
import { start } from './program.mjs';

const WHAT = process.argv[2] ?? '800';
const CARRIES = 40;
/** How it is carried, and how long the hand rests between, ms. @type {readonly [By, number, string][]} */
const WAYS = [
  ['keys', 200, 'By arrow keys'],
  ['keys', 25, 'By an arrow key held down'],
  ['across', 200, 'By the pointer to the next gang-day'],
  ['anywhere', 200, 'By the pointer anywhere'],
];

/** @typedef {import('playwright-core').Page} Page */
/** A carry: when the page's elements were others, and the frame that draws them next was begun and done with, all in ms after the key or the pointer's move; and whether it was asked about only then. @typedef {{ changed: number, framed: number, drawn: number, asked: boolean }} Carry */
/** By arrow keys; by the pointer to the next gang-day at the same time of day; or to another gang-day at another time, of which nothing is known ahead. @typedef {'keys' | 'across' | 'anywhere'} By */

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

/** Notes of each question when it is sent, and how long it is until its answer has been read, ms. It runs in the page. */
function listen() {
  const questions = { last: 0, took: /** @type {number[]} */ ([]) };
  const plain = window.fetch;
  window.fetch = async (where, how) => {
    const asks = String(where).endsWith('/call') && String(how?.body).includes('"what_if"');
    const begun = performance.now();
    if (asks) questions.last = begun;
    const reply = await plain(where, how);
    if (!asks) return reply;
    for (const name of /** @type {const} */ (['json', 'text', 'arrayBuffer'])) {
      const read = reply[name].bind(reply);
      Object.defineProperty(reply, name, { value: async () => {
        const body = await read();
        questions.took.push(performance.now() - begun);
        return body;
      } });
    }
    return reply;
  };
  return void Object.assign(window, { questions });
}

/**
 * Carries what is in hand from gang-day to gang-day. The end of a frame is taken from the first task after it: on the page's own thread it is drawn then, and what the browser's
 * other threads still do to it, without a graphics card above all, is not in it. It runs in the page.
 */
async function carry(/** @type {{ carries: number, by: By, pause: number }} */ { carries, by, pause }) {
  const { questions } = /** @type {any} */ (window);
  const said = () => document.querySelector('[aria-label="In hand"] .words')?.textContent ?? '';
  const field = /** @type {HTMLElement} */ (document.querySelector('.field')).getBoundingClientRect();
  const inView = (/** @type {Element} */ one) => one.getBoundingClientRect().left > field.left + 60 && one.getBoundingClientRect().right < field.right;
  const days = [...document.querySelectorAll('[data-route]')].filter(inView).map((one) => one.getBoundingClientRect());
  /** A place among the gang-days in view, there and back. */
  const placeAt = (/** @type {number} */ i) => days[Math.abs(((i + days.length - 2) % (2 * days.length - 2)) - (days.length - 1))] ?? new DOMRect();
  const point = (/** @type {number} */ i) => ({ clientX: placeAt(i).x + placeAt(i).width / 2, clientY: placeAt(i).y + 30 + (by === 'anywhere' ? (i * 37) % 120 : 60) });
  const pointer = (/** @type {string} */ what, /** @type {PointerEventInit} */ where) => new PointerEvent(what, { ...where, button: 0, buttons: 1, bubbles: true, cancelable: true });
  if (by !== 'keys') {
    const layer = /** @type {HTMLElement} */ ([...document.querySelectorAll('[data-piece].work[data-job]')].find(inView));
    const { x, y } = layer.getBoundingClientRect();
    layer.dispatchEvent(pointer('pointerdown', { clientX: x + 4, clientY: y + 4 }));
  }
  const go = (/** @type {number} */ i) =>
    by === 'keys' ? document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true })) : window.dispatchEvent(pointer('pointermove', point(i)));
  const all = [];
  for (let i = 0; i < carries; i++) {
    const before = said();
    // It comes at no particular part of a frame.
    await new Promise((later) => setTimeout(later, pause + ((i * 7) % 17)));
    const begun = performance.now();
    /** @type {Promise<number>} */
    const changed = new Promise((done) => {
      const watch = new MutationObserver(() => {
        if (said() === before) return;
        watch.disconnect();
        done(performance.now());
      });
      watch.observe(document.body, { subtree: true, childList: true, characterData: true });
    });
    go(i);
    const at = await changed;
    const asked = questions.last >= begun;
    const [framed, drawn] = await new Promise((done) => requestAnimationFrame(() => {
      const frame = performance.now();
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => done([frame, performance.now()]);
      port2.postMessage(null);
    }));
    all.push({ changed: at - begun, framed: framed - begun, drawn: drawn - begun, asked });
  }
  document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'Escape', bubbles: true, cancelable: true }));
  return all;
}

function told(/** @type {string} */ name, /** @type {number[]} */ all) {
  const sorted = [...all].sort((a, b) => a - b);
  const at = (/** @type {number} */ part) => (sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * part))] ?? 0).toFixed(1);
  console.log(`${name.padEnd(44)} ${all.length}, median ${at(0.5)} ms, 95 % ${at(0.95)}, longest ${at(1)}`);
}

/** What the page's own thread has spent so far, by what it was spent on, ms. */
async function spent(/** @type {import('playwright-core').CDPSession} */ wire) {
  const { metrics } = await wire.send('Performance.getMetrics');
  const of = (/** @type {string} */ name) => 1000 * (metrics.find((one) => one.name === name)?.value ?? 0);
  return { all: of('TaskDuration'), script: of('ScriptDuration'), style: of('RecalcStyleDuration'), layout: of('LayoutDuration') };
}

const gangs = Number(WHAT);
const door = Number.isNaN(gangs) ? await start([WHAT]) : await serve({ sheet: sheet({ gangs }) });
const browser = await launch();
const begun = Date.now();
const { page } = await openPage(browser, { address: door.address, motion: 'no-preference' });
await page.locator('[data-piece]').first().waitFor();
console.log(`${WHAT}, 1280 × 800, load ${loadavg()[0]?.toFixed(1)}; drawn ${Date.now() - begun} ms after it was asked for`);
console.log(`${await page.locator('[data-route]').count()} gang-days and ${await page.locator('[data-piece]').count()} layers are in the page`);
told('frames while scrolling', await page.evaluate(across));
await page.evaluate(() => (/** @type {HTMLElement} */ (document.querySelector('.field')).scrollLeft = 0));
await page.waitForTimeout(500);
await page.evaluate(listen);
const wire = await page.context().newCDPSession(page);
await wire.send('Performance.enable');
for (const [by, pause, words] of WAYS) {
  await page.evaluate(() => (/** @type {HTMLElement} */ (document.querySelector('.field')).scrollLeft = 0));
  await page.locator('[data-piece].work[data-job]').first().focus();
  // As long as a hand takes from a layer to picking it up.
  await page.waitForTimeout(1000);
  if (by === 'keys') await page.keyboard.press('x');
  const before = await spent(wire);
  const carries = /** @type {Carry[]} */ (await page.evaluate(carry, { carries: CARRIES, by, pause }));
  const after = await spent(wire);
  console.log(`\n${words}; ${carries.filter((one) => one.asked).length} of ${CARRIES} were asked about only then`);
  told('until elements changed', carries.map((one) => one.changed));
  told('from there to the next frame begun', carries.map((one) => one.framed - one.changed));
  told('that frame', carries.map((one) => one.drawn - one.framed));
  told('until the carry is drawn', carries.map((one) => one.drawn));
  const each = (/** @type {keyof typeof after} */ what) => ((after[what] - before[what]) / CARRIES).toFixed(1);
  console.log(`a carry costs the page's thread ${each('all')} ms: script ${each('script')}, style ${each('style')}, layout ${each('layout')}`);
}
told('\nfrom a question to its answer read', await page.evaluate(() => /** @type {any} */ (window).questions.took));
if (process.env.SHOT) await page.screenshot({ path: process.env.SHOT });
await browser.close();
await door.close();
process.exit(0);
