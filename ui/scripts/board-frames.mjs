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

/** @typedef {import('playwright-core').Page} Page */
/** A carry: when the question was sent, its answer read, the page's elements others, and the frame that draws them next begun and done with, all in ms after the key. @typedef {{ asked: number, answered: number, changed: number, framed: number, drawn: number }} Carry */

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

/** Notes when a question is sent, and when its answer has been read. It runs in the page. */
function listen() {
  const marks = { asked: 0, answered: 0 };
  const plain = window.fetch;
  window.fetch = async (where, how) => {
    const asks = String(where).endsWith('/call') && String(how?.body).includes('"what_if"');
    if (asks) marks.asked = performance.now();
    const reply = await plain(where, how);
    if (!asks) return reply;
    for (const name of /** @type {const} */ (['json', 'text', 'arrayBuffer'])) {
      const read = reply[name].bind(reply);
      Object.defineProperty(reply, name, { value: async () => {
        const body = await read();
        marks.answered = performance.now();
        return body;
      } });
    }
    return reply;
  };
  return Object.assign(window, { marks });
}

/**
 * Carries what is in hand from gang-day to gang-day. The end of a frame is taken from the first task after it: on the page's own thread it is drawn then, and what the browser's
 * other threads still do to it, without a graphics card above all, is not in it. It runs in the page.
 */
async function carry(/** @type {number} */ carries) {
  const marks = /** @type {any} */ (window).marks;
  const hand = () => document.querySelector('[aria-label="In hand"]');
  const said = () => hand()?.querySelector('.words')?.textContent ?? '';
  const all = [];
  for (let i = 0; i < carries; i++) {
    const before = said();
    // The key comes at no particular part of a frame.
    await new Promise((later) => setTimeout(later, 200 + ((i * 7) % 17)));
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
    document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true }));
    const at = await changed;
    const [framed, drawn] = await new Promise((done) => requestAnimationFrame(() => {
      const frame = performance.now();
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = () => done([frame, performance.now()]);
      port2.postMessage(null);
    }));
    all.push({ asked: marks.asked - begun, answered: marks.answered - begun, changed: at - begun, framed: framed - begun, drawn: drawn - begun });
  }
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
await page.locator('[data-piece].work[data-job]').first().focus();
await page.keyboard.press('x');
await page.evaluate(listen);
const wire = await page.context().newCDPSession(page);
await wire.send('Performance.enable');
const before = await spent(wire);
const carries = /** @type {Carry[]} */ (await page.evaluate(carry, CARRIES));
const after = await spent(wire);
told('from key to question sent', carries.map((one) => one.asked));
told('from question to answer read', carries.map((one) => one.answered - one.asked));
told('from answer to elements changed', carries.map((one) => one.changed - one.answered));
told('from key to elements changed', carries.map((one) => one.changed));
told('from elements changed to next frame begun', carries.map((one) => one.framed - one.changed));
told('that frame', carries.map((one) => one.drawn - one.framed));
told('from key to carry drawn', carries.map((one) => one.drawn));
const each = (/** @type {keyof typeof after} */ what) => ((after[what] - before[what]) / CARRIES).toFixed(1);
console.log(`a carry costs the page's thread ${each('all')} ms: script ${each('script')}, style ${each('style')}, layout ${each('layout')}`);
if (process.env.SHOT) await page.screenshot({ path: process.env.SHOT });
await browser.close();
await door.close();
process.exit(0);
