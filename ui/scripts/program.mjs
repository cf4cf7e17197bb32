// @ts-check
/** Where the sheet is looked at: an address that is given, or the program itself on the invented week, planned. */
import { spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));

/**
 * @param {string[]} [what] the demo week where nothing else is named
 * @param {string | null} [config] the folder of the user's settings, kept afterwards; one of its own where none is named, so that no test writes to a real home
 * @returns {Promise<{ address: string, config: string | null, close: () => Promise<void> }>} `close` waits until the program has ended
 */
export async function start(what = ['--demo'], config = null) {
  if (process.env.GANGDAY_URL) return { address: process.env.GANGDAY_URL, config: null, close: async () => {} };
  const command = process.env.GANGDAY ?? `${ROOT}target/debug/gangday`;
  const settings = config ?? await mkdtemp(join(tmpdir(), 'gangday-config-'));
  const child = spawn(command, ['view', ...what, '--port', '0'], { stdio: ['ignore', 'pipe', 'pipe'], env: { ...process.env, XDG_CONFIG_HOME: settings } });
  const ended = new Promise((gone) => child.on('exit', gone));
  let said = '';
  const address = await new Promise((found, failed) => {
    const look = (/** @type {string} */ line) => {
      const match = /http:\/\/127\.0\.0\.1:\d+\/\S*token=\S+/.exec(line);
      if (match) found(match[0]);
      else said += `${line}\n`;
    };
    createInterface({ input: child.stdout }).on('line', look);
    createInterface({ input: child.stderr }).on('line', look);
    child.on('exit', (code) => failed(new Error(`gangday view ended with ${code} before it gave an address\n${said}`)));
    child.on('error', failed);
  });
  const close = async () => {
    child.kill();
    await ended;
    if (config === null) await rm(settings, { recursive: true, force: true });
  };
  return { address, config: settings, close };
}
