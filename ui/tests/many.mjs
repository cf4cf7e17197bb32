// @ts-check
/** A sheet with any number of jobs, to measure the map with: places and gangs made up, no figures. */
import { sheet } from './fixture.mjs';

/** @returns {import('../src/types/gangday').Sheet} */
export function many(/** @type {number} */ jobs, { seed = 11, wide = 0.6 } = {}) {
  let state = seed;
  const roll = () => (state = (state * 1664525 + 1013904223) >>> 0) / 2 ** 32;
  const base = sheet({ gangs: 5 });
  const [first] = base.jobs;
  if (first === undefined) throw new Error('the sheet has no job');
  const routes = base.plan?.columns.map((column) => column.key) ?? [];
  const [west, south] = base.area;
  const kinds = ['new', 'replace', 'adjust'];
  const positions = ['footway', 'verge', 'carriageway', 'cycle_track'];
  const all = Array.from({ length: jobs }, (_, i) => {
    // Towns: half of the jobs lie close round one of forty places, as people do.
    const town = Math.floor(roll() * 40);
    const near = roll() < 0.5;
    const lon = west + (near ? ((town * 37) % 40) / 40 + (roll() - 0.5) * 0.02 : roll()) * wide;
    const lat = south + (near ? ((town * 17) % 40) / 40 + (roll() - 0.5) * 0.02 : roll()) * wide * 0.6;
    const d = 0.00001;
    const ring = (/** @type {number} */ r) => /** @type {[number, number][]} */ ([[lon - r, lat - r], [lon + r, lat - r], [lon + r, lat + r], [lon - r, lat + r], [lon - r, lat - r]]);
    return {
      ...first, id: `J-${String(i + 1).padStart(6, '0')}`, at: /** @type {[number, number]} */ ([lon, lat]), outline: ring(d), chamber: ring(d * 0.7),
      work: kinds[i % 3] ?? 'new', position: positions[i % 4] ?? 'footway', priority: 1 + (i % 5), stages: [], terms: [],
      route: roll() < 0.8 ? (routes[Math.floor(roll() * routes.length)] ?? null) : null,
    };
  });
  return { ...base, name: `${jobs.toLocaleString('en-GB')} jobs`, area: [west, south, west + wide, south + wide * 0.6], jobs: all, findings: [] };
}
