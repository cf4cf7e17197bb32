// @ts-check
/** Every browser script, one after the other, also after one that did not hold: what is wrong is told all at once. */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';

const SCRIPTS = ['e2e', 'e2e-board', 'e2e-carry', 'e2e-fit', 'e2e-issues', 'e2e-onward', 'e2e-map', 'e2e-ground', 'e2e-desk', 'e2e-home', 'e2e-files', 'e2e-form', 'e2e-lists', 'e2e-handing', 'client-page'];

const failed = SCRIPTS.filter((name) => {
  console.log(`--- ${name}`);
  return spawnSync(process.execPath, [join(import.meta.dirname, `${name}.mjs`)], { stdio: 'inherit' }).status !== 0;
});
console.log(failed.length === 0 ? `All ${SCRIPTS.length} scripts held.` : `${failed.length} of ${SCRIPTS.length} scripts did not hold: ${failed.join(', ')}.`);
process.exit(failed.length === 0 ? 0 : 1);
