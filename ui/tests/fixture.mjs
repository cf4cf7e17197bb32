// @ts-check
/** A sheet for tests of the drawing alone. Its times and figures are made up: nothing here is worked out as the trade does. */
import { area, at, backdrop, beside, plan as rectangle, streets } from './district.mjs';

/** @typedef {import('../src/types/gangday').Sheet} Sheet */
/** @typedef {import('../src/types/gangday').Column} Column */
/** @typedef {import('../src/types/gangday').Layer} Layer */

const NAMES = ['Ash gang', 'Birch gang', 'Cedar gang', 'Damson gang', 'Elder gang'];
const POSITIONS = ['footway', 'verge', 'carriageway', 'cycle_track'];
const clock = (/** @type {number} */ m) => `${String(Math.floor(m / 60)).padStart(2, '0')}:${String(m % 60).padStart(2, '0')}`;

/** A to Z, then AA to AZ, as the program counts gangs. @returns {string} */
const letters = (/** @type {number} */ i) => `${i < 26 ? '' : letters(Math.floor(i / 26) - 1)}${String.fromCharCode(65 + (i % 26))}`;

/** Same seed, same numbers. */
const dice = (/** @type {number} */ seed) => () => ((seed = (seed * 1664525 + 1013904223) >>> 0) / 2 ** 32);

/** @returns {Sheet} */
export function sheet({ gangs = 2, days = 5, seed = 7 } = {}) {
  const roll = dice(seed);
  const dates = Array.from({ length: days }, (_, i) => `2027-03-0${i + 1}`);
  const crews = Array.from({ length: gangs }, (_, i) => ({
    id: `gang-${i + 1}`, name: NAMES[i % NAMES.length] ?? 'Gang', mark: letters(i), index: i,
    depot: i % 2 ? at(2250, 160) : at(160, 1180), people: 3, tickets: ['street works'], shift_from: 450, shift_to: 990,
  }));
  /** @type {Sheet['jobs']} */
  const jobs = [];
  /** @type {Map<string, [number, number][]>} */
  const rings = new Map();
  /** @type {Column[]} */
  const columns = [];
  /** @type {NonNullable<Sheet['plan']>['closures']} */
  const closures = [];
  const job = (/** @type {string | null} */ route) => {
    const one = makeJob(jobs.length + 1, roll, route);
    jobs.push(one.job);
    rings.set(one.job.id, one.ring);
    return one.job;
  };
  for (const date of dates)
    for (const gang of crews) {
      if (gang.index === 3 && date.endsWith('5')) continue;
      const key = `${gang.id}@${date}`;
      const two = [job(key), job(key)];
      if (roll() > 0.25) two.push(job(key));
      const column = makeDay(key, gang, date, two, roll);
      columns.push(column);
      for (const one of two) closures.push(makeClosure(one, key, gang.id, date, column, rings.get(one.id) ?? []));
    }
  const left = [job(null), job(null)];
  return {
    name: 'Staithe and Ropewalk, week 9', folder: null, demo: true, unsaved: true, nation: 'England', temperature_c: 10,
    days: dates.map((date, i) => ({ date, name: `${['Mon', 'Tue', 'Wed', 'Thu', 'Fri'][i]} ${i + 1} Mar`, working: true, past: false })),
    area, attribution: null, streets, backdrop, gangs: crews, tips: [{ id: 'tip-1', name: 'Quarry Bank tip', at: at(2200, 1400) }], jobs,
    notes: ['Places by the British National Grid.', 'Travel as the straight distance times 1.3 at 30 km/h.'],
    plan: {
      columns, closures,
      clashes: [{ kind: 'one_street', job: 'J-001', other: 'J-002', date: dates[0] ?? '', from: 540, to: 600, weight: 'priced', text: 'The closures of jobs J-001 and J-002 stand in Osier Lane.', remedy: 'Plan one after the other.' }],
      deadlines: [{ job: 'J-001', late: true, steps: [{ what: 'Apply for the permit', by: '2027-02-24T16:30', by_words: 'Wed 24 Feb 2027 16:30', missed: true }] }],
      unplanned: left.map((one) => ({ job: one.id, reasons: ['Nobody in any gang holds the ticket "confined space".', 'Its last day, 26 Feb, is before the week.'], codes: ['U-TICKET', 'U-DATES'] })),
      orders: orders(columns, dates), verified: true,
      costs: [{ label: 'Crew time', amount: '£18,240.00', pence: 1_824_000 }, { label: 'Travel', amount: '£1,120.40', pence: 112_040 }, { label: 'Total', amount: '£19,360.40', pence: 1_936_040 }],
      changes: [],
      summary: `${jobs.length - left.length} of ${jobs.length} jobs in ${columns.length} gang-days`,
    },
    issues: [], records: [],
    findings: [
      { code: 'J-SIZE', severity: 'fault', place: 'jobs.geojson, J-004, sections', job: 'J-004', text: 'The number of sections is -2.', remedy: 'Give 0 for an adjusted ironwork, or the number stacked.' },
      { code: 'W-COLD', severity: 'warning', place: 'week.json, temperature_c', job: null, text: 'At 10 °C bases cure more slowly than the material sheet says for 20 °C.', remedy: 'Check the expected temperature on the morning.' },
      { code: 'J-STREET', severity: 'note', place: 'jobs.geojson, J-007', job: 'J-007', text: 'No street is given; Osier Lane is nearest, 4 m away.', remedy: 'Give its street if that is wrong.' },
    ],
    cautions: [
      { title: 'Locate before you dig', text: 'This plan is no record of buried apparatus. Get the owners’ plans, locate, mark and hand-dig.', source: 'HSG47' },
      { title: 'No depth is safe by itself', text: 'A competent person assesses every excavation and its support before anyone goes in.', source: 'CDM 2015, reg. 22' },
      { title: 'Traffic to the code', text: 'A competent person decides signing, lighting and guarding on the spot.', source: 'Safety at Street Works and Road Works' },
    ],
    undo: 'Import of 12 jobs', redo: null, edition: 3,
  };
}

/** @returns {{ job: Sheet['jobs'][number], ring: [number, number][] }} */
function makeJob(/** @type {number} */ n, /** @type {() => number} */ roll, /** @type {string | null} */ route) {
  const id = `J-${String(n).padStart(3, '0')}`;
  const street = n * 7 + Math.floor(roll() * 3);
  const share = 0.15 + roll() * 0.7;
  const position = POSITIONS[n % 4] ?? 'footway';
  const place = beside(street, share, position === 'carriageway' ? 1.6 : 4.6);
  const ring = rectangle(street, share, place, 24, 3.6);
  return { ring, job: {
    id, at: place, outline: rectangle(street, share, place, 1.7, 1.4), chamber: rectangle(street, share, place, 1.2, 0.9),
    work: n % 3 ? 'new' : 'replace', position, title: `${n % 3 ? 'New' : 'Replaced'} chamber in the ${position.replace('_', ' ')}, 900 × 600, 6 sections`,
    called: null, street: streets[street % streets.length]?.name ?? null, priority: 1 + (n % 5), closure: position === 'carriageway' ? 'lane' : 'footway',
    terms: ['Not before 1 Mar', 'Site hours 09:30–15:30', 'Permit STW-0412'], attachments: [], route, next_route: null, left: '', work_min: 215, closure_min: 380,
    stages: ['Dig 85 min', 'Base 35 min', 'Base cures 75 min', 'Stack and backfill 60 min', 'Mortar sets 30 min', 'Surround 20 min', 'Initial set 25 min', 'Surface 30 min', 'Hold before traffic 60 min'],
  } };
}

/** A line in steps of millionths of a degree. @returns {[number, number][]} */
export function steps(/** @type {[number, number][]} */ line) {
  const whole = line.map(([lon, lat]) => /** @type {[number, number]} */ ([Math.round(lon * 1e6), Math.round(lat * 1e6)]));
  return whole.map(([lon, lat], i) => [lon - (whole[i - 1]?.[0] ?? 0), lat - (whole[i - 1]?.[1] ?? 0)]);
}

/** One gang-day in which two or three jobs take turns. @returns {Column} */
function makeDay(/** @type {string} */ key, /** @type {Sheet['gangs'][number]} */ gang, /** @type {string} */ date, /** @type {Sheet['jobs']} */ jobs, /** @type {() => number} */ roll) {
  /** @type {Layer[]} */
  const layers = [];
  /** @type {Column['waits']} */
  const waits = [];
  let now = 450;
  const lay = (/** @type {Layer['kind']} */ kind, /** @type {number} */ minutes, /** @type {string} */ words, /** @type {string | null} */ one = null, /** @type {string | null} */ stage = null) => {
    if (minutes > 0) layers.push({ kind, job: one, stage, stays: null, from: now, to: (now += minutes), words });
  };
  const ready = new Map();
  const work = (/** @type {string} */ one, /** @type {string} */ stage, /** @type {number} */ minutes, /** @type {string} */ wait, /** @type {number} */ cure, /** @type {string} */ words) => {
    const due = ready.get(one);
    if (due !== undefined && due.to > now) lay('idle', due.to - now, `Nothing to do until ${clock(due.to)}`);
    if (due !== undefined) due.next = now;
    lay('work', minutes, `${words} ${one}, ${minutes} min`, one, stage);
    const next = { job: one, kind: wait, from: now, to: now + cure, next: now + cure, words: `${wait === 'hold' ? 'No traffic' : wait === 'base_cure' ? 'Base cures' : 'Concrete sets'} until ${clock(now + cure)}` };
    waits.push(next);
    ready.set(one, next);
  };
  lay('load', 20, 'Load, 20 min');
  const ids = jobs.map((one) => one.id);
  const pours = 85 - ids.length * 12 + Math.floor(roll() * 20);
  for (const one of ids) {
    lay('travel', 6 + Math.floor(roll() * 10), `Drive to ${one}`, one);
    work(one, 'base', pours, 'base_cure', 75 + Math.floor(roll() * 20), 'Dig and pour');
  }
  for (const one of ids) {
    lay('travel', 5 + Math.floor(roll() * 8), `Drive to ${one}`, one);
    work(one, 'surround', 45, 'initial_set', 30, 'Stack, backfill and surround');
  }
  for (const one of ids) {
    lay('travel', 5 + Math.floor(roll() * 8), `Drive to ${one}`, one);
    work(one, 'surface', 20, 'hold', 60, 'Surface');
  }
  lay('travel', 14, 'Drive to the depot');
  const back = now;
  lay('unload', 15, 'Unload, 15 min');
  const sum = (/** @type {string} */ kind) => layers.filter((l) => l.kind === kind).reduce((t, l) => t + l.to - l.from, 0);
  return {
    key, gang: gang.id, date, shift_from: 450, shift_to: 990, depart: 470, back, layers, waits, jobs: ids,
    way: { line: steps([gang.depot, ...ids.map((id) => /** @type {[number, number]} */ (jobs.find((one) => one.id === id)?.at)), gang.depot]), km: 11.4 },
    left: [], gone_on: [], worked_min: sum('work'), travel_min: sum('travel'), idle_min: sum('idle'),
  };
}

/** @returns {import('../src/types/gangday').ClosureDetail['arrangement']} */
function makeArrangement(/** @type {string} */ kind) {
  const lane = kind === 'lane';
  return {
    control: lane ? 'priority_signs' : 'none', control_words: lane ? 'Priority signs' : 'No traffic control',
    on_foot: lane ? 'unaffected' : 'past_works', on_foot_words: lane ? 'Footway as before' : 'Past the works on the footway',
    because: 'First to last cone 9 m, at most 80.', coned_m: lane ? 9 : null, caution: 'A proposal: a competent person designs and agrees it.',
    rulings: [{ control: 'Give and take', verdict: 'not_stated', words: 'heavy vehicles is not stated', source: 'Code of Practice' }],
    widths: [{ of: 'carriageway', left_m: 3.4, wanted_m: 3.25, least_m: 3, words: '3.40 m left, at least 3.00 m', why: 'less works and clearance' }],
    kit: [{ item: 'cone', name: 'Traffic cone', count: 12, why: '6 lead-in, 2 between, 4 exit' }],
    section: [{ kind: 'works', from_m: -3.4, to_m: -1 }, { kind: 'clearance', from_m: -1, to_m: -0.5 }, { kind: 'carriageway', from_m: -0.5, to_m: 3.4 }],
  };
}

/** @returns {NonNullable<Sheet['plan']>['closures'][number]} */
function makeClosure(/** @type {Sheet['jobs'][number]} */ one, /** @type {string} */ route, /** @type {string} */ gang, /** @type {string} */ date, /** @type {Column} */ column, /** @type {[number, number][]} */ ring) {
  const own = column.layers.filter((layer) => layer.job === one.id && layer.kind === 'work');
  const from = own[0]?.from ?? 480;
  const hold_from = own.at(-1)?.to ?? 900;
  const i = streets.findIndex((street) => street.name === one.street);
  return {
    job: one.id, route, gang, date, street: streets[i]?.id ?? null, street_name: one.street, kind: one.closure, proposed: true,
    because: 'It stands in the footway, 1.2 m is left.', from, hold_from, to: hold_from + 60,
    footprint: ring, hours: `${clock(from)}–${clock(hold_from + 60)}`, words: `${one.closure === 'lane' ? 'Lane' : 'Footway'} closed ${clock(from)}–${clock(hold_from + 60)}`,
    diversion: null,
  };
}

/** How a material is bought: made up. */
const bought = (order_by = '', supplier = '', price = '') => ({ order_by, supplier, price, brought_forward: '', left_over: '' });

/** What a gang-day carries, lifts and feels: made up. @returns {import('../src/types/gangday').GangDayView} */
const gangDay = (/** @type {string} */ key, /** @type {number} */ n) => ({
  key, vehicle: 'Payload 3.5 t, body 2.5 m³',
  carried: [{ label: 'Out to the jobs', mass: '7.7 t', volume: '5.9 m³ loose', loads: '2 loads', why: '4.1 t / 3.5 t = 2 loads by mass.' }],
  vibration: { a8: n % 2 ? '1.8' : '2.9', exposure: n % 2 ? 1.8 : 2.9, action: 2.5, limit: 5, points: n % 2 ? '52' : '135', past: n % 2 ? 'below' : 'action', words: n % 2 ? 'Below the action value of 2.5 m/s²' : 'Past the action value of 2.5 m/s²', remedy: n % 2 ? '' : 'Share the tools.', tools: [{ tool: 'Breaker', minutes: '24 min', magnitude: '12 m/s²', points: '115' }] },
  handling: ['J-001: One section weighs 57 kg.'], faults: [],
});

/** A job in depth: made up, but its section fills its dig. @returns {import('../src/types/gangday').JobDetail} */
export function detail(id = 'J-001') {
  const box = (/** @type {string} */ what, /** @type {number} */ l, /** @type {number} */ t, /** @type {number} */ r, /** @type {number} */ b) => ({ what, outline: /** @type {[number, number][]} */ ([[l, t], [r, t], [r, b], [l, b]]) });
  return {
    job: id, left: ['dig', 'base', 'build', 'surround', 'surface', 'reopen'], reckoned_for: 'Ash gang, 3 people, Mon 1 Mar at 10 °C', opening: 'Small opening, 4th edition of the code', opening_why: '1.4 m × 1.4 m less the cover is 1.15 m², up to 2 m².',
    figures: [
      { label: 'Excavation', value: '2.74', unit: 'm³', exact: '2.737 m³', why: '1.70 × 1.40 × 1.15 m: the chamber’s outside and 250 mm working space, to the formation. Common practice, no source.' },
      { label: 'Base concrete', value: '0.46', unit: 'm³', exact: '0.4571 m³', why: '1.70 × 1.40 × 0.20 m less the wall ring that stands in it.' },
      { label: 'Type 1', value: '1.2', unit: 't', exact: '1.183 t', why: 'Ring of 1.30 m² over 600 mm at 2.05 t/m³, in 4 lifts.' },
      { label: 'Spoil', value: '4.9', unit: 't', exact: '4.927 t', why: 'Net volume at 1.8 t/m³ in the bank, never bulked.' },
    ],
    section: {
      width: 1400, depth: 1150,
      parts: [box('surfacing', -700, 0, -450, 60), box('surfacing', 450, 0, 700, 60), box('type1', -700, 60, -450, 950), box('type1', 450, 60, 700, 950), box('wall', -450, 0, -300, 950), box('wall', 300, 0, 450, 950), box('opening', -300, 0, 300, 950), box('base_concrete', -700, 950, 700, 1150)],
      across: [{ name: 'dig at the surface', from: [-700, 0], to: [700, 0], mm: '1400', lane: -2 }, { name: 'clear opening', from: [-300, 0], to: [300, 0], mm: '600', lane: 1 }],
      down: [{ name: 'depth of the dig', from: [-700, 0], to: [-700, 1150], mm: '1150', lane: -2 }, { name: 'surfacing', from: [-700, 0], to: [-700, 60], mm: '60', lane: -1 }, { name: 'type 1', from: [-700, 60], to: [-700, 950], mm: '890', lane: -1 }, { name: 'base', from: [-700, 950], to: [-700, 1150], mm: '200', lane: -1 }, { name: 'sections', from: [700, 0], to: [700, 950], mm: '950', lane: 1 }],
    },
    quantities: [{ title: 'Sizes and volumes', quantities: [{ quantity: 'Depth of the dig', value: '1150 mm', formula: 'b - e + n h + m + f', numbers: '200 - 50 + 6 x 150 + 0 + 100', parameters: [{ key: 'chamber.base', value: '200 mm', source: 'common practice, no source', date: '2026-11-25' }, { key: 'sections', value: '6 no.', source: `stated by job ${id}`, date: '' }] }] }],
    findings: [],
  };
}

/** What so many jobs take. */
const line = (/** @type {number} */ n) => [
  { material: 'type1', name: 'Type 1', measured: (1.2 * n).toFixed(1), ordered: (1.3 * n).toFixed(1), unit: 't', packs: `${Math.ceil(n / 2)} loads`, rounding: '', why: 'Sum of the rings at 2.05 t/m³ with 8 % waste.', exact: `measured ${1.183 * n} t`, ...bought('Fri 26 Feb', 'Invented Stone, 2 working days', '£36.00') },
  { material: 'base', name: 'Base concrete', measured: (0.46 * n).toFixed(2), ordered: (0.48 * n).toFixed(2), unit: 'm³', packs: `${n * 44} bags of 25 kg`, rounding: '0.01 m³', why: 'Net bases with 5 % waste, whole bags.', exact: `measured ${0.4571 * n} m³`, ...bought('Thu 25 Feb', '1 working day', ''), brought_forward: '0.01 m³', left_over: '0.02 m³' },
  { material: 'surround', name: 'Surround concrete', measured: (0.21 * n).toFixed(2), ordered: (0.22 * n).toFixed(2), unit: 'm³', packs: `${n * 20} bags of 25 kg`, rounding: '0.01 m³', why: 'Net ring with 5 % waste.', exact: '', ...bought() },
  { material: 'surfacing', name: 'Cold-lay surfacing', measured: (0.08 * n).toFixed(2), ordered: (0.12 * n).toFixed(2), unit: 'm³', packs: `${n * 11} tubs of 25 kg`, rounding: '', why: 'Compacted ring with 50 % over for loose material.', exact: '', ...bought() },
  { material: 'section', name: 'Sections 900 × 600', measured: `${6 * n}`, ordered: `${6 * n}`, unit: 'no.', packs: '', rounding: '', why: 'Six to a chamber.', exact: '', ...bought() },
];

/** @returns {NonNullable<Sheet['plan']>['orders']} */
function orders(/** @type {Column[]} */ columns, /** @type {string[]} */ dates) {
  const inDay = (/** @type {string} */ date) => columns.filter((c) => c.date === date).reduce((t, c) => t + c.jobs.length, 0);
  return [
    { key: 'week', materials: line(columns.reduce((t, c) => t + c.jobs.length, 0)), alternatives: [] },
    ...dates.map((date) => ({ key: `day:${date}`, materials: line(inDay(date)), alternatives: [] })),
  ];
}

/** A gang-day in depth. @returns {import('../src/types/gangday').GangDayDetail} */
export function dayDetail(/** @type {Sheet} */ sheet, /** @type {string} */ key) {
  const at = sheet.plan?.columns.findIndex((one) => one.key === key) ?? 0;
  const jobs = sheet.plan?.columns[at]?.jobs.length ?? 0;
  return { key, order: { key: `route:${key}`, materials: line(jobs), alternatives: [] }, carried: gangDay(key, at) };
}

/** A closure in depth. @returns {import('../src/types/gangday').ClosureDetail} */
export function closureDetail(/** @type {Sheet} */ sheet, /** @type {string} */ job) {
  const kind = sheet.plan?.closures.find((one) => one.job === job)?.kind ?? 'none';
  const step = { what: 'Apply for the permit', by: '2027-02-24T16:30', by_words: 'Wed 24 Feb 2027 16:30', why: '3 working days before the start', missed: true };
  const notice = { job, category: 'minor', because: 'They last 1 working day.', earliest: '2027-03-02', words: 'Minor works; told today, not before Tue 2 Mar.', late: true, longest: null, steps: [step] };
  return { job, arrangement: makeArrangement(kind), notice: job === 'J-001' ? notice : null };
}
