// @ts-check
/** The pictures in the README, taken from the program itself; the others only where they are named. */
import { mkdir, readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { launch, mapDrawn, openPage } from './browser.mjs';
import { start } from './program.mjs';

const OUT = process.env.SHOTS ?? fileURLToPath(new URL('../../docs/img/', import.meta.url));

/** @type {Record<string, { width?: number, height?: number, scheme?: string, asked?: boolean, act?: (page: any) => Promise<void> }>} */
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
  intake: { act: lookAtList },
  form: {
    act: async (page) => {
      await page.locator('[data-piece].work[data-job]').first().click();
      await page.keyboard.press('E');
      await page.waitForFunction(() => document.activeElement?.id === 'field-work');
      await page.locator('#field-work').evaluate((/** @type {HTMLElement} */ one) => one.closest('section')?.scrollIntoView());
    },
  },
  gangs: { asked: true, width: 1920, height: 1080, act: (page) => page.keyboard.press('g') },
  'day-1080': { asked: true, width: 1920, height: 1080, act: (page) => page.keyboard.press('2') },
  'week-4k': { asked: true, width: 3840, height: 2160 },
};

/** A client's list, dropped on the window: one job that is there with another section, some that are new, one at fault. */
async function lookAtList(/** @type {import('playwright-core').Page} */ page) {
  await page.evaluate(async () => {
    const ask = async (/** @type {object} */ request) => (await fetch('/call', { method: 'POST', headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${sessionStorage.getItem('gangday-token')}` }, body: JSON.stringify(request) })).json();
    const { sheet } = await ask({ ask: 'sheet' });
    const [one, two] = sheet.jobs.filter((/** @type {any} */ job) => job.work === 'new' && job.route !== null);
    const own = (await ask({ ask: 'stated', jobs: [one.id] })).jobs[0].properties;
    const rows = [
      ['id', 'lon', 'lat', 'work', 'position', 'sections', 'clear_length_mm', 'clear_width_mm'],
      [one.id, ...one.at, 'new', own.position, own.sections + 1, own.clear_length_mm, own.clear_width_mm],
      ['SW-1', one.at[0] + 0.003, one.at[1], 'replace', 'verge', 4, 600, 600],
      ['SW-2', two.at[0] + 0.000005, two.at[1], 'new', 'footway', 4, 600, 600],
      ['SW-3', one.at[0], one.at[1] + 0.002, 'new', 'footway', 'two', 600, 600],
    ];
    const data = new DataTransfer();
    data.items.add(new File([rows.map((row) => row.join(',')).join('\n')], 'sallow-works.csv'));
    for (const type of ['dragover', 'drop']) document.body.dispatchEvent(new DragEvent(type, { dataTransfer: data, bubbles: true, cancelable: true }));
  });
  await page.getByRole('dialog', { name: 'Take in sallow-works.csv' }).waitFor();
}

/** The client page, made by the program from the week that is open. */
async function client() {
  const { page, context } = await openPage(browser, { address });
  const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('c')]);
  const file = await download.path();
  const fresh = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  await fresh.setContent(await readFile(file, 'utf8'));
  await fresh.screenshot({ path: `${OUT}/client.png` });
  console.log('client.png');
  await context.close();
}

await mkdir(OUT, { recursive: true });
const wanted = process.argv.slice(2);
const { address, close } = await start();
const browser = await launch();
for (const [name, { act, asked, ...options }] of Object.entries(SHOTS)) {
  if (wanted.length > 0 ? !wanted.includes(name) : asked) continue;
  const { page, context } = await openPage(browser, { address, ...options });
  await mapDrawn(page);
  if (act) {
    await act(page);
    await page.waitForTimeout(800);
    await mapDrawn(page);
  }
  await page.screenshot({ path: `${OUT}/${name}.png` });
  console.log(`${name}.png`);
  await context.close();
}
if (wanted.length === 0 || wanted.includes('client')) await client();
await browser.close();
close();
process.exit(0);
