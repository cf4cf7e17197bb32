// @ts-check
/** The client page, opened from a file in a real Chromium with the network off; hostile names stay words. */
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { launch } from './browser.mjs';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const PROGRAM = process.env.GANGDAY ?? join(ROOT, 'target/debug/gangday');
const HOSTILE = `</title></script><img src=x onerror="window.__ran=1"><svg onload="window.__ran=1">`;

const gangday = (/** @type {string[]} */ ...words) => execFileSync(PROGRAM, words, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });

/** The small week with a street, a gang and a job that try to be markup; its page and its plan. */
async function pack(/** @type {string} */ folder) {
  const week = join(folder, 'week');
  await cp(join(ROOT, 'sample-data/small-week'), week, { recursive: true });
  const rewrite = async (/** @type {string} */ name, /** @type {(whole: any) => void} */ change) => {
    const whole = JSON.parse(await readFile(join(week, name), 'utf8'));
    change(whole);
    await writeFile(join(week, name), JSON.stringify(whole));
  };
  await rewrite('streets.geojson', (streets) => streets.features.forEach((/** @type {any} */ one) => (one.properties.name += HOSTILE)));
  await rewrite('gangs.json', (gangs) => gangs.gangs.forEach((/** @type {any} */ one) => (one.name += HOSTILE)));
  const plan = join(folder, 'plan.json');
  gangday('plan', week, '--out', plan, '--iterations', '200');
  const written = gangday('pack', week, plan, '--out', join(folder, 'pack')).trim().split('\n');
  const page = written.find((one) => one.endsWith('.html'));
  assert.ok(page, `a page is among what was written: ${written}`);
  return { page, plan: JSON.parse(await readFile(plan, 'utf8')) };
}

/** Which numbers of works hide one another where all days are shown. */
const hidden = () => {
  const plates = [...document.querySelectorAll('a.mark .in-all')].filter((one) => getComputedStyle(one).display !== 'none').map((one) => {
    const parts = [...one.querySelectorAll(':scope > rect')].map((rect) => rect.getBoundingClientRect());
    const edge = (/** @type {(part: DOMRect) => number} */ of) => parts.map(of);
    return { id: one.closest('a')?.id, left: Math.min(...edge((rect) => rect.left)), right: Math.max(...edge((rect) => rect.right)), top: Math.min(...edge((rect) => rect.top)), bottom: Math.max(...edge((rect) => rect.bottom)) };
  });
  const meet = (/** @type {typeof plates[0]} */ a, /** @type {typeof plates[0]} */ b) => a.left < b.right - 0.5 && b.left < a.right - 0.5 && a.top < b.bottom - 0.5 && b.top < a.bottom - 0.5;
  return { plates: plates.length, over: plates.flatMap((a, at) => plates.slice(at + 1).filter((b) => meet(a, b)).map((b) => `${a.id} and ${b.id}`)) };
};

const folder = await mkdtemp(join(tmpdir(), 'gangday-client-'));
const browser = await launch();
try {
  const { page: file, plan } = await pack(folder);
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, locale: 'en-GB' });
  await context.setOffline(true);
  const page = await context.newPage();
  const asked = [];
  const complaints = [];
  page.on('request', (request) => asked.push(request.url()));
  page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(String(error)));
  const address = pathToFileURL(file).href;
  await page.goto(address);

  const text = await page.locator('body').innerText();
  for (const route of plan.routes) for (const visit of route.visits) assert.ok(text.includes(visit.job), `${visit.job} is on the page`);
  assert.ok(text.includes('onerror'), 'the hostile names are shown as words');
  assert.equal(await page.evaluate(() => /** @type {any} */ (window).__ran), undefined, 'and nothing of them runs');
  assert.equal(await page.locator('img').count(), 0);

  const shown = () => page.evaluate(() => [...document.querySelectorAll('table tbody tr')].filter((row) => row.getClientRects().length > 0).length);
  const all = await shown();
  const day = page.locator('label', { hasText: 'Mon 1' }).first();
  await day.click();
  const one = await shown();
  assert.ok(one > 0 && one < all, `one day shows fewer rows than all: ${one} of ${all}`);

  assert.deepEqual(asked, [address], 'the file asks for nothing else');
  assert.deepEqual(complaints, [], 'the console stays silent');
  console.log('ok    the client page opens from a file with the network off, and hostile names stay words');

  const full = join(ROOT, 'sample-data/full-week');
  gangday('plan', full, '--out', join(folder, 'full.json'), '--iterations', '200');
  const crowded = gangday('pack', full, join(folder, 'full.json'), '--out', join(folder, 'full')).trim().split('\n').find((one) => one.endsWith('works.html'));
  assert.ok(crowded);
  await page.goto(pathToFileURL(crowded).href);
  const { plates, over } = await page.evaluate(hidden);
  assert.ok(plates > 50, `${plates} works`);
  assert.deepEqual(over, []);
  console.log('ok    no number on the map of a full week hides another');
} finally {
  await browser.close();
  await rm(folder, { recursive: true, force: true });
}
