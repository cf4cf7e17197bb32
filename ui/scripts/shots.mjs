// @ts-check
/** The pictures in the README and in docs/screens.md, taken from the program itself; the others only where they are named. */
import { spawn } from 'node:child_process';
import { copyFile, mkdir, mkdtemp, readdir, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { launch, mapDrawn, openPage } from './browser.mjs';
import { ask, changed, drop, edition } from './driven.mjs';
import { start } from './program.mjs';

const OUT = process.env.SHOTS ?? fileURLToPath(new URL('../../docs/img/', import.meta.url));

/** @type {Record<string, { width?: number, height?: number, scheme?: string, asked?: boolean, changes?: boolean, act?: (page: any) => Promise<void> }>} */
const SHOTS = {
  'week-light': {},
  'week-dark': { scheme: 'dark' },
  day: { act: (page) => page.keyboard.press('1') },
  job: {
    act: async (page) => {
      await page.keyboard.press('1');
      await page.locator('[data-piece].cure[data-job]').nth(3).click();
    },
  },
  hand: {
    act: async (page) => {
      await page.locator('[data-piece].work[data-job]').first().click();
      await page.keyboard.press('x');
      await page.keyboard.press('ArrowRight');
      await page.waitForTimeout(1500);
    },
  },
  split: {
    act: async (page) => {
      await page.locator('[data-piece].work[data-job]').nth(4).click();
      await page.keyboard.press('X');
      await page.getByRole('region', { name: 'In hand' }).waitFor();
      await page.keyboard.press('ArrowRight');
      await page.waitForTimeout(1500);
    },
  },
  intake: { act: lookAtList },
  form: {
    act: async (page) => {
      await page.locator('[data-piece].work[data-job]').first().click();
      await page.keyboard.press('E');
      await page.waitForFunction(() => document.activeElement?.id === 'field-work');
      await page.locator('#field-work').evaluate((/** @type {HTMLElement} */ one) => one.closest('section')?.scrollIntoView());
    },
  },
  crews: { act: (page) => page.keyboard.press('D').then(() => page.getByLabel('G1: Name').waitFor()) },
  figures: { act: (page) => page.keyboard.press('F') },
  keys: { act: (page) => page.keyboard.press('?') },
  open: { act: (page) => page.keyboard.press('o') },
  week: { act: (page) => page.keyboard.press('W') },
  closure: { act: lookAtClosure },
  several: {
    act: async (page) => {
      await page.keyboard.press('2');
      await mapDrawn(page);
      await page.keyboard.press('a');
      await page.getByRole('region', { name: 'Selected jobs', exact: true }).waitFor();
    },
  },
  plans: { changes: true, act: twoPlans },
  history: {
    changes: true,
    act: async (page) => {
      await page.locator('[data-piece].work[data-job]').first().click();
      const before = await edition(page);
      await page.keyboard.press('k');
      await changed(page, before);
      await page.keyboard.press('H');
      await page.getByRole('dialog').waitFor();
    },
  },
  gangs: { asked: true, width: 1920, height: 1080, act: (page) => page.keyboard.press('g') },
  'day-1080': { asked: true, width: 1920, height: 1080, act: (page) => page.keyboard.press('2') },
  'week-4k': { asked: true, width: 3840, height: 2160 },
};

/** The job whose closure sends traffic round, at a time when it stands. */
async function lookAtClosure(/** @type {import('playwright-core').Page} */ page) {
  const { sheet: week } = await ask(page, { ask: 'sheet' });
  const one = week.plan.closures.find((/** @type {any} */ closure) => closure.diversion?.along.length > 2);
  if (one === undefined) throw new Error('no closure of the demo week sends traffic round');
  await page.getByRole('slider', { name: 'Time of day' }).evaluate((/** @type {HTMLInputElement} */ input, value) => {
    input.value = String(value);
    input.dispatchEvent(new Event('input', { bubbles: true }));
  }, Math.ceil(one.from / 5) * 5 + 60);
  await page.keyboard.press('/');
  await page.keyboard.type(one.job);
  await page.keyboard.press('Enter');
  await page.locator('#find').blur();
  const sheet = page.getByRole('region', { name: `Closure of ${one.job}` });
  await sheet.evaluate((section) => section.scrollIntoView());
}

/** A plan that was issued, beside the one in which a job was moved since. */
async function twoPlans(/** @type {import('playwright-core').Page} */ page) {
  await page.keyboard.press('v');
  let before = await edition(page);
  await page.getByRole('dialog', { name: 'Plans' }).getByRole('button', { name: 'Issue plan 1' }).click();
  await changed(page, before);
  await page.keyboard.press('Escape');
  before = await edition(page);
  await page.locator('[data-piece].work[data-job]').last().click();
  await page.keyboard.press('x');
  await page.keyboard.press('ArrowLeft');
  await page.getByRole('status').filter({ hasText: /^Move/ }).waitFor();
  await page.keyboard.press('Enter');
  const twice = page.getByRole('button', { name: /Put down all the same/ });
  await Promise.race([changed(page, before), twice.waitFor()]);
  if (await twice.isVisible()) await page.keyboard.press('Enter');
  await changed(page, before);
  await page.keyboard.press('v');
  await page.getByRole('heading', { name: /gang-days? differs?,/ }).waitFor();
}

/** The tests that keep pictures of what they bring about. */
const DRIVEN = ['e2e.mjs', 'e2e-board.mjs', 'e2e-carry.mjs', 'e2e-map.mjs', 'e2e-desk.mjs', 'e2e-home.mjs', 'e2e-files.mjs', 'e2e-form.mjs', 'e2e-lists.mjs', 'e2e-handing.mjs', 'e2e-issues.mjs', 'e2e-onward.mjs'];

/** Runs a test and keeps those of its pictures that are shown; one that does not hold keeps none. */
async function driven(/** @type {string} */ script) {
  const away = await mkdtemp(join(tmpdir(), 'gangday-shots-'));
  const child = spawn(process.execPath, [fileURLToPath(new URL(script, import.meta.url))], { env: { ...process.env, SHOTS: away }, stdio: 'inherit' });
  const code = await new Promise((ended) => child.on('exit', ended));
  if (code !== 0) throw new Error(`${script} does not hold`);
  const screens = await readFile(fileURLToPath(new URL('../../docs/screens.md', import.meta.url)), 'utf8');
  for (const name of await readdir(away)) if (screens.includes(`(img/${name})`)) await copyFile(join(away, name), join(OUT, name));
  await rm(away, { recursive: true });
}

/** An empty programme, in a folder that is thrown away. */
async function empty() {
  const away = await mkdtemp(join(tmpdir(), 'gangday-shots-'));
  // The title block shows the folder's own name: the same in every picture.
  const folder = join(away, 'Sallowby, week 10');
  await mkdir(folder);
  const own = await start([folder]);
  const { page, context } = await openPage(browser, { address: own.address });
  await page.getByRole('heading', { name: 'No week is planned yet' }).waitFor();
  await page.screenshot({ path: `${OUT}/empty.png` });
  console.log('empty.png');
  await context.close();
  await own.close();
  await rm(away, { recursive: true });
}

/** A client's list, dropped on the window: one job that is there with another section, some that are new, one at fault. */
async function lookAtList(/** @type {import('playwright-core').Page} */ page) {
  const { sheet } = await ask(page, { ask: 'sheet' });
  const [one, two] = sheet.jobs.filter((/** @type {any} */ job) => job.work === 'new' && job.route !== null);
  const own = (await ask(page, { ask: 'stated', jobs: [one.id] })).jobs[0].properties;
  const rows = [
    ['id', 'lon', 'lat', 'work', 'position', 'sections', 'clear_length_mm', 'clear_width_mm'],
    [one.id, ...one.at, 'new', own.position, own.sections + 1, own.clear_length_mm, own.clear_width_mm],
    ['SW-1', one.at[0] + 0.003, one.at[1], 'replace', 'verge', 4, 600, 600],
    ['SW-2', two.at[0] + 0.000005, two.at[1], 'new', 'footway', 4, 600, 600],
    ['SW-3', one.at[0], one.at[1] + 0.002, 'new', 'footway', 'two', 600, 600],
  ];
  await drop(page, 'sallow-works.csv', rows.map((row) => row.join(',')).join('\n'));
  await page.getByRole('dialog', { name: 'Take in sallow-works.csv' }).waitFor();
}

/** The client page, made by the program from the week as it was planned. */
async function client() {
  const own = await start();
  const { page, context } = await openPage(browser, { address: own.address });
  const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('c')]);
  const file = await download.path();
  const fresh = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  await fresh.setContent(await readFile(file, 'utf8'));
  await fresh.screenshot({ path: `${OUT}/client.png` });
  console.log('client.png');
  await context.close();
  await own.close();
}

await mkdir(OUT, { recursive: true });
const wanted = process.argv.slice(2);
const { address, close } = await start();
const browser = await launch();
for (const [name, { act, asked, changes, ...options }] of Object.entries(SHOTS)) {
  if (wanted.length > 0 ? !wanted.includes(name) : asked) continue;
  // What changes the week is done to one of its own.
  const own = changes ? await start() : null;
  const { page, context } = await openPage(browser, { address: own?.address ?? address, ...options });
  await mapDrawn(page);
  if (act) {
    await act(page);
    await page.waitForTimeout(800);
    await mapDrawn(page);
  }
  await page.screenshot({ path: `${OUT}/${name}.png` });
  console.log(`${name}.png`);
  await context.close();
  await own?.close();
}
if (wanted.length === 0 || wanted.includes('client')) await client();
if (wanted.length === 0 || wanted.includes('empty')) await empty();
await browser.close();
await close();
if (wanted.length === 0) for (const script of DRIVEN) await driven(script);
process.exit(0);
