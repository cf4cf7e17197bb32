// @ts-check
/** The Chromium of the machine, with software drawing for the map and nothing that calls out. */
import { chromium } from 'playwright-core';

const FLAGS = [
  '--no-sandbox',
  '--use-gl=angle',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
];

export const launch = () =>
  chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: FLAGS, headless: true });

/** A page that writes down what it must not do: complain, or ask anything of another host. */
export async function openPage(browser, { address, width = 1280, height = 800, scheme = 'light', ratio = 1, motion = 'reduce', touch = false }) {
  const context = await browser.newContext({
    viewport: { width, height }, colorScheme: scheme, deviceScaleFactor: ratio, reducedMotion: motion, locale: 'en-GB', acceptDownloads: true, hasTouch: touch,
  });
  // Large sheets are drawn without a graphics card, perhaps while the machine builds something else.
  context.setDefaultTimeout(120_000);
  const page = await context.newPage();
  const complaints = [];
  const strangers = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || (message.type() === 'warning' && !/GPU stall|GL Driver/.test(message.text()))) complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('request', (request) => {
    const url = new URL(request.url());
    if (!['data:', 'blob:'].includes(url.protocol) && url.hostname !== '127.0.0.1') strangers.push(request.url());
  });
  await page.goto(address);
  await ready(page);
  return { page, context, complaints, strangers };
}

export const ready = (page) => page.waitForFunction(() => window.__gangday?.ready === true, null, { timeout: 120_000, polling: 50 });
export const mapDrawn = (page) => page.waitForFunction(() => window.__gangday?.mapIdle === true, null, { timeout: 120_000, polling: 100 });
export const selected = (page) => page.evaluate(() => window.__gangday?.selection);
