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
  gangs: { asked: true, width: 1920, height: 1080, act: (page) => page.keyboard.press('g') },
  'day-1080': { asked: true, width: 1920, height: 1080, act: (page) => page.keyboard.press('2') },
  'week-4k': { asked: true, width: 3840, height: 2160 },
};

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
