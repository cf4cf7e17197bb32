// @ts-check
/** A loopback door that plays an invented sheet: the drawing can be looked at and tested before there is a programme. */
import { createServer } from 'node:http';
import { readFile } from 'node:fs/promises';
import { extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { closureDetail, dayDetail, detail, sheet } from '../tests/fixture.mjs';

const DIST = fileURLToPath(new URL('../dist/', import.meta.url));
const TYPES = { '.html': 'text/html', '.js': 'text/javascript', '.css': 'text/css', '.woff2': 'font/woff2', '.svg': 'image/svg+xml', '.txt': 'text/plain' };
export const POLICY = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; worker-src 'self' blob:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
const TOKEN = 'fixture';

/** Serves it; gives the address with its token and a way to end it. */
export async function serve({ gangs = 5, days = 5, empty = false, port = 0, sheet: given = /** @type {any} */ (null) } = {}) {
  // A sheet that was written down before, to look at it again without the program.
  const kept = process.env.SHEET ? JSON.parse(await readFile(process.env.SHEET, 'utf8')) : null;
  let now = empty ? null : (given ?? kept?.sheet ?? kept ?? sheet({ gangs, days }));
  /** Which look at the planning comes next; the first only after it was asked for. */
  let polls = 99;
  const answer = (/** @type {any} */ request) => {
    if (request.ask === 'plan') {
      polls = 0;
      now = now && { ...now, edition: now.edition + 1 };
    }
    if (request.ask === 'plan' || request.ask === 'progress' || request.ask === 'stop') return { is: 'progress', progress: progress(polls++) };
    if (request.ask === 'open' && request.folder === '/broken') return { refused: { text: 'The programme can’t be read.', findings: sheet({}).findings } };
    if (request.ask === 'what_if' && now?.plan) return { is: 'what_if', outcome: tried(now.plan.columns, request.change) };
    if (request.ask === 'job') return { is: 'job', detail: detail(request.id) };
    if (request.ask === 'closure' && now) return { is: 'closure', detail: closureDetail(now, request.job) };
    if (request.ask === 'gang_days' && now) return { is: 'gang_days', details: request.keys.map((/** @type {string} */ key) => dayDetail(now, key)) };
    if (request.ask === 'open_demo') now = sheet({ gangs: request.week === 'small' ? 2 : 5 });
    if (request.ask === 'client_page') return { is: 'page', name: 'client.html', html: '<!doctype html><title>Client page</title>' };
    if (request.ask === 'save' && now) return { is: 'saved', folder: request.folder ?? '/programme', sheet: (now = { ...now, unsaved: false }) };
    return { is: 'sheet', sheet: now };
  };
  const server = createServer(async (request, reply) => {
    const url = new URL(request.url ?? '/', 'http://127.0.0.1');
    if (request.method === 'POST' && url.pathname === '/call') {
      let text = '';
      for await (const part of request) text += part;
      if (request.headers.authorization !== `Bearer ${TOKEN}`) return void reply.writeHead(401).end();
      const said = answer(JSON.parse(text));
      reply.writeHead('refused' in said ? 422 : 200, { 'Content-Type': 'application/json' });
      return void reply.end(JSON.stringify('refused' in said ? said.refused : said));
    }
    const path = normalize(url.pathname === '/' ? '/index.html' : url.pathname);
    try {
      const body = await readFile(join(DIST, path));
      reply.writeHead(200, { 'Content-Type': TYPES[extname(path)] ?? 'application/octet-stream', 'Content-Security-Policy': POLICY });
      reply.end(body);
    } catch {
      reply.writeHead(404).end();
    }
  });
  await new Promise((listening) => server.listen(port, '127.0.0.1', () => listening(null)));
  const at = /** @type {import('node:net').AddressInfo} */ (server.address());
  return { address: `http://127.0.0.1:${at.port}/?token=${TOKEN}`, close: () => server.close() };
}

/** What a change would do, made up: the gang-day that it goes to ends an hour later. */
function tried(/** @type {any[]} */ columns, /** @type {any} */ change) {
  const there = columns.find((column) => column.key === (change.to ?? change.other)) ?? columns[0];
  const then = { ...there, back: there.back + 60, layers: there.layers.map((/** @type {any} */ layer) => ({ ...layer, from: layer.from + 10, to: layer.to + 10 })) };
  return { words: `Move ${change.job ?? ''} to ${then.key}`, sound: true, broken: [], added_pence: 100, added: '+£1.00', costs: [], columns: [then], emptied: [], takes: [], left_out: 0, left_out_now: 0 };
}

function progress(/** @type {number} */ n) {
  const trace = Array.from({ length: n + 3 }, (_, i) => 2_400_000 - 420_000 * (1 - Math.exp(-i / 6)));
  return { running: n < 14, reading: false, title: 'Making the week', fraction: Math.min(1, n / 14), words: 'Trying other days for 7 jobs; best so far £19,812.40', trace, planned: Math.min(64, 40 + n * 2), of: 66 };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const door = await serve({ port: Number(process.env.PORT ?? 0) });
  console.log(door.address);
}
