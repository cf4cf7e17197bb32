// @ts-check
/** What browser tests do again and again: ask the desk, wait for what comes of it, drop a file, open a path, keep a picture. */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ready } from './browser.mjs';

/** @typedef {import('playwright-core').Page} Page */

export const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const PROGRAM = process.env.GANGDAY ?? join(ROOT, 'target/debug/gangday');
/** Runs the command. */
export const gangday = (/** @type {string[]} */ ...words) => execFileSync(PROGRAM, words, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
export { picture as shot } from './harness.mjs';

/** Asks a desk as the page does. */
export const askAt = async (/** @type {string} */ address, /** @type {object} */ request) => {
  const url = new URL(address);
  const reply = await fetch(`${url.origin}/call`, { method: 'POST', headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${url.searchParams.get('token')}` }, body: JSON.stringify(request) });
  return reply.json();
};
export const ask = (/** @type {Page} */ page, /** @type {object} */ request) =>
  page.evaluate(async (body) => {
    const reply = await fetch('/call', { method: 'POST', headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${sessionStorage.getItem('gangday-token')}` }, body: JSON.stringify(body) });
    return reply.json();
  }, request);

export const edition = (/** @type {Page} */ page) => page.evaluate(() => window.__gangday?.edition ?? 0);
/** Waits until the sheet after this one is drawn. */
export async function changed(/** @type {Page} */ page, /** @type {number} */ before) {
  await page.waitForFunction((was) => (window.__gangday?.edition ?? 0) > was, before, { polling: 50 });
  await ready(page);
}
/** Does something and waits until the sheet that came of it is drawn. */
export async function after(/** @type {Page} */ page, /** @type {() => Promise<unknown>} */ act) {
  const before = await edition(page);
  await act();
  await changed(page, before);
}
/** Lets a file go over the window, as the pointer would. */
export const drop = (/** @type {Page} */ page, /** @type {string} */ name, /** @type {string} */ text) =>
  page.evaluate(([file, content]) => {
    const data = new DataTransfer();
    data.items.add(new File([content ?? ''], file ?? ''));
    for (const type of ['dragover', 'drop']) document.body.dispatchEvent(new DragEvent(type, { dataTransfer: data, bubbles: true, cancelable: true }));
  }, [name, text]);
export const firstJob = (/** @type {Page} */ page) => page.locator('[data-piece].work[data-job]').first();
export const lockFirst = (/** @type {Page} */ page) => after(page, async () => { await firstJob(page).click(); await page.keyboard.press('k'); });
/** Types a path where one is opened, and presses Enter. */
export async function openPath(/** @type {Page} */ page, /** @type {string} */ path) {
  await page.keyboard.press('o');
  await page.getByRole('textbox', { name: /on this machine/ }).fill(path);
  await page.keyboard.press('Enter');
}
export const titled = (/** @type {Page} */ page, /** @type {string} */ words) => page.locator('footer.title').filter({ hasText: words }).waitFor();
