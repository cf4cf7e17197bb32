// @ts-check
/** What tests of the board share: its layers and gang-days, what is in hand, the sheet after a change. */
export { after, changed, edition } from './driven.mjs';

/** @typedef {import('playwright-core').Page} Page */

export const layers = (/** @type {Page} */ page, /** @type {string} */ job) => page.locator(`[data-piece].work[data-job="${job}"]`);
/** The gang-day that a job is drawn in; null where it is in none. */
export const routeOf = (/** @type {Page} */ page, /** @type {string} */ job) => page.evaluate((id) => document.querySelector(`[data-piece].work[data-job="${id}"]`)?.closest('[data-route]')?.getAttribute('data-route') ?? null, job);
export const hand = (/** @type {Page} */ page) => page.getByRole('region', { name: 'In hand' });
/** What is said of the place that something is held over, and not of one that it was carried past. */
export const answered = (/** @type {Page} */ page, /** @type {RegExp} */ words) => page.locator('section[aria-label="In hand"][aria-busy="false"]').getByRole('status').filter({ hasText: words });
export const twice = (/** @type {Page} */ page) => hand(page).getByRole('button', { name: /Put down all the same/ });

/** The jobs of the gang-day that is drawn first, or of another, in order. */
export const jobsIn = (/** @type {Page} */ page, /** @type {string} */ key) => page.locator(`[data-route="${key}"] [data-piece].work[data-job]`).evaluateAll((all) => [...new Set(all.map((one) => one.getAttribute('data-job') ?? ''))]);

/** The keys of the gang-days with work in them, from the left. */
export const worked = (/** @type {Page} */ page) => page.locator('[data-route]:has([data-piece].work)').evaluateAll((all) => all.map((one) => one.getAttribute('data-route') ?? ''));
