// @ts-check
/** What every browser test stands on: the program, a browser, and a check that also fails where the page complains or calls out. */
import assert from 'node:assert/strict';
import { readFile, rm } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { launch, openPage } from './browser.mjs';
import { start } from './program.mjs';

const axeSource = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** @typedef {(name: string, options: object, body: (page: import('playwright-core').Page) => Promise<void>) => Promise<void>} Check */

/** Runs tests against a program of their own; says how many did not hold. @param {(check: Check) => Promise<void>} tests @param {string[] | string} [what] what `gangday view` opens, or the address of another door */
export async function suite(tests, what) {
  const { address, config, close } = typeof what === 'string' ? { address: what, config: null, close: async () => {} } : await start(what);
  const browser = await launch();
  let failed = 0;
  /** @type {Check} */
  const check = async (name, options, body) => {
    if (process.env.ONLY && !new RegExp(process.env.ONLY).test(name)) return;
    // Each begins as on the first day: what the one before has kept with the program is gone.
    if (config !== null) await rm(join(config, 'gangday'), { recursive: true, force: true });
    const opened = await openPage(browser, { address, ...options });
    try {
      await body(opened.page);
      // A refusal that the test asks for is told of by the browser too.
      const refused = (/** @type {string} */ line) => 'refusals' in options && /status of 422/.test(line);
      assert.deepEqual(opened.complaints.filter((line) => !refused(line)), [], 'the console stays silent');
      assert.deepEqual(opened.strangers, [], 'nothing is asked of another host');
      console.log(`ok    ${name}`);
    } catch (error) {
      failed += 1;
      console.log(`FAIL  ${name}\n${error instanceof Error ? error.stack : error}`);
    } finally {
      await opened.context.close();
    }
  };
  await tests(check);
  await browser.close();
  await close();
  return failed;
}

/** Keeps a picture of what the test has brought about, where pictures are asked for (`SHOTS` names their folder). */
export async function picture(/** @type {import('playwright-core').Page} */ page, /** @type {string} */ name) {
  if (process.env.SHOTS) await page.screenshot({ path: join(process.env.SHOTS, `${name}.png`) });
}

/** Ends the process by how it went. */
export function finish(/** @type {number} */ failed) {
  console.log(failed === 0 ? 'Everything held.' : `${failed} did not hold.`);
  process.exit(failed === 0 ? 0 : 1);
}

/** What axe finds to be wrong, one line each. */
export async function axe(/** @type {import('playwright-core').Page} */ page) {
  // A page whose policy forbids foreign scripts takes this one from the debugger.
  await page.evaluate(axeSource);
  const found = await page.evaluate(() => window.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
  const looked = found.passes.find((one) => one.id === 'color-contrast')?.nodes.length ?? 0;
  assert.ok(looked >= 5, `contrast was looked at in ${looked} places only`);
  return found.violations.map((one) => `${one.id}: ${one.nodes.length} (${one.nodes.slice(0, 3).map((node) => `${node.target} ${node.any.map((why) => why.message).join('; ')}`).join(' | ')})`);
}
