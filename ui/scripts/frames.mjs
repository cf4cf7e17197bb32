// @ts-check
/**
 * How smoothly the map moves with many jobs, beside the same places in plain MapLibre: circles and lines, nothing else.
 *
 * `node scripts/frames.mjs [JOBS]`; the page must have been built. Prints milliseconds between frames while the map is flown the same way in both.
 */
import { createServer } from 'node:http';
import { readFile } from 'node:fs/promises';
import { extname, join } from 'node:path';
import { loadavg } from 'node:os';
import { fileURLToPath } from 'node:url';
import { many } from '../tests/many.mjs';
import { launch, mapDrawn, openPage } from './browser.mjs';
import { serve } from './fixture-door.mjs';

const JOBS = Number(process.argv[2] ?? 100_000);
const MAPLIBRE = fileURLToPath(new URL('../node_modules/maplibre-gl/dist/', import.meta.url));
const sheet = many(JOBS);

/** The same flight in both: across, closer, across, away. It runs in the page. */
async function fly(/** @type {any} */ map, /** @type {number[]} */ area) {
  const [west, south, east, north] = area;
  const at = (/** @type {number} */ x, /** @type {number} */ y) => [west + (east - west) * x, south + (north - south) * y];
  const legs = [
    { center: at(0.2, 0.3), zoom: 10 }, { center: at(0.8, 0.6), zoom: 10.5 }, { center: at(0.5, 0.5), zoom: 13 }, { center: at(0.55, 0.55), zoom: 14 },
    { center: at(0.55, 0.56), zoom: 16.5 }, { center: at(0.56, 0.56), zoom: 17 }, { center: at(0.5, 0.5), zoom: 10 },
  ];
  const frames = [];
  let last = performance.now();
  let going = true;
  const tick = (/** @type {number} */ now) => {
    frames.push(now - last);
    last = now;
    if (going) requestAnimationFrame(tick);
  };
  requestAnimationFrame(tick);
  for (const leg of legs) {
    map.easeTo({ ...leg, duration: 2000, essential: true });
    await new Promise((done) => map.once('moveend', done));
  }
  going = false;
  return frames.slice(2);
}

/** Something that answers as the measured page does, with the library as it comes. */
async function plain() {
  const places = {
    jobs: { type: 'FeatureCollection', features: sheet.jobs.map((job) => ({ type: 'Feature', properties: { id: job.id }, geometry: { type: 'Point', coordinates: job.at } })) },
    streets: { type: 'FeatureCollection', features: sheet.streets.map((street) => ({ type: 'Feature', properties: {}, geometry: { type: 'MultiLineString', coordinates: street.lines } })) },
  };
  const page = `<!doctype html><style>body{margin:0}#map{position:fixed;inset:0}</style><div id="map"></div><script type="module">
    import { Map, setWorkerUrl } from '/maplibre-gl.mjs';
    setWorkerUrl('/maplibre-gl-worker.mjs');
    const places = await (await fetch('/places.json')).json();
    const begun = performance.now();
    const map = new Map({ container: 'map', bounds: ${JSON.stringify(sheet.area)}, attributionControl: false, fadeDuration: 0, style: { version: 8,
      sources: { jobs: { type: 'geojson', data: places.jobs }, streets: { type: 'geojson', data: places.streets } },
      layers: [{ id: 'paper', type: 'background', paint: { 'background-color': '#f3efe4' } }, { id: 'streets', type: 'line', source: 'streets' }, { id: 'jobs', type: 'circle', source: 'jobs' }] } });
    map.once('idle', () => { window.ready = performance.now() - begun; });
    window.map = map;
  </script>`;
  const server = createServer(async (request, reply) => {
    const path = new URL(request.url ?? '/', 'http://127.0.0.1').pathname;
    if (path === '/') return void reply.writeHead(200, { 'Content-Type': 'text/html' }).end(page);
    if (path === '/places.json') return void reply.writeHead(200, { 'Content-Type': 'application/json' }).end(JSON.stringify(places));
    try {
      const body = await readFile(join(MAPLIBRE, path));
      reply.writeHead(200, { 'Content-Type': extname(path) === '.css' ? 'text/css' : 'text/javascript' }).end(body);
    } catch {
      reply.writeHead(404).end();
    }
  });
  await new Promise((listening) => server.listen(0, '127.0.0.1', () => listening(null)));
  const at = /** @type {import('node:net').AddressInfo} */ (server.address());
  return { address: `http://127.0.0.1:${at.port}/`, close: () => server.close() };
}

const share = (/** @type {number[]} */ sorted, /** @type {number} */ part) => (sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * part))] ?? 0).toFixed(0);

function told(/** @type {string} */ name, /** @type {number[]} */ frames) {
  const sorted = [...frames].sort((a, b) => a - b);
  const mean = frames.reduce((sum, one) => sum + one, 0) / frames.length;
  console.log(`${name.padEnd(18)} ${frames.length} frames, mean ${mean.toFixed(1)} ms, median ${share(sorted, 0.5)}, 95 % ${share(sorted, 0.95)}, longest ${share(sorted, 1)}; over 50 ms: ${frames.filter((one) => one > 50).length}, over 100 ms: ${frames.filter((one) => one > 100).length}`);
  return mean;
}

const browser = await launch();
const door = await serve({ sheet });
const begun = Date.now();
const ours = await openPage(browser, { address: door.address, motion: 'no-preference' });
await mapDrawn(ours.page);
console.log(`${JOBS.toLocaleString('en-GB')} jobs, 1280 × 800, load ${loadavg()[0]?.toFixed(1)}; Gangday drawn ${Date.now() - begun} ms after it was asked for`);
await ours.page.keyboard.press('b');
await ours.page.keyboard.press('n');
await ours.page.waitForTimeout(2000);
const flight = fly.toString();
const own = await ours.page.evaluate(`(${flight})(window.__gangday.map, ${JSON.stringify(sheet.area)})`);
await ours.page.screenshot({ path: process.env.SHOT ?? 'frames.png' }).catch(() => {});
await ours.context.close();

const other = await plain();
const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
const page = await context.newPage();
await page.goto(other.address);
await page.waitForFunction(() => /** @type {any} */ (window).ready !== undefined, null, { timeout: 120_000 });
const bare = await page.evaluate(`(${flight})(window.map, ${JSON.stringify(sheet.area)})`);
const [a, b] = [told('Gangday', own), told('plain MapLibre', bare)];
console.log(`ratio of the means ${(a / b).toFixed(2)}`);
await browser.close();
await door.close();
await other.close();
process.exit(0);
