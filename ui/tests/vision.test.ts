import { describe, expect, it } from 'vitest';
import { gangInk } from '../src/drawing/gangs';
import { apart, type Vision } from '../src/drawing/vision';
import { CODES } from '../src/codes';
import { dateOf, noDate } from '../src/dates';
import { fieldText, valueOf } from '../src/fields';
import { airOf, memberOf, passes as figurePasses } from '../src/state/figures.svelte';
import { thenOf, timesOf } from '../src/state/hand.svelte';
import { passes } from '../src/state/filter.svelte';
import { boxOf, caught, within } from '../src/map/lasso';
import { leadOf, NOWHERE } from '../src/panels/leads';
import { placeOf } from '../src/state/aside.svelte';
import { COMMANDS } from '../src/commands';
import { longDate, shortDate, timeOf } from '../src/words';
import { sheet } from './fixture.mjs';

const COLOURS = [0, 1, 2, 3, 4, 5].map((index) => gangInk(index).colour);
const VISIONS: Vision[] = ['full', 'protan', 'deutan', 'tritan'];

describe('gang colours', () => {
  it('measures distance as colour science does', () => {
    // Sharma, Wu and Dalal's white and black, and sRGB's red and green, whose CIE 1976 distance is 170.6 (IEC 61966-2-1 primaries in L*a*b*).
    expect(apart('#ffffff', '#000000', 'full')).toBeCloseTo(100, 0);
    expect(apart('#ff0000', '#00ff00', 'full')).toBeCloseTo(170.6, 0);
    expect(apart('#808080', '#808080', 'deutan')).toBe(0);
  });

  for (const vision of VISIONS)
    it(`can be told apart with ${vision} vision`, () => {
      const pairs = COLOURS.flatMap((one, i) => COLOURS.slice(i + 1).map((other) => ({ one, other, by: apart(one, other, vision) })));
      const least = pairs.reduce((a, b) => (a.by < b.by ? a : b));
      // Several times what can just be noticed (2.3); the letter and the band tell them apart as well.
      expect(least.by).toBeGreaterThan(15);
    });

  it('would fail for two colours that are alike without the middle cone', () => {
    expect(apart('#c0402a', '#6b7a1e', 'deutan')).toBeLessThan(apart('#c0402a', '#6b7a1e', 'full') / 2);
  });
});

describe('dates and times as they are written here', () => {
  it('reads and writes the day first', () => {
    expect(shortDate('2027-02-25')).toBe('25/02/2027');
    expect(longDate('2027-02-25')).toBe('25 February 2027');
    expect([timeOf('8.05'), timeOf('0805'), timeOf('24:00'), timeOf('8')]).toEqual(['08:05', '08:05', null, null]);
  });
});

describe('a date', () => {
  it('is read as people here write it, the day first', () => {
    const ways = ['5/3/27', '5/3/2027', '05/03/2027', '5.3.27', '5 3 2027', '3-Mar-27', '3 March 2027', '3rd Mar 27', '3/Mar/2027', '3mar27', 'Fri 5 Mar 2027', 'friday, 5th March 2027', 'Fri 5/3/27', '2027-03-05', 'Sept 2027'];
    expect(ways.map(dateOf)).toEqual([...Array(5).fill('2027-03-05'), ...Array(5).fill('2027-03-03'), ...Array(4).fill('2027-03-05'), null]);
    expect([dateOf('1 Sept 27'), dateOf('29/2/28'), dateOf('1/1/00'), dateOf('31/12/99')]).toEqual(['2027-09-01', '2028-02-29', '2000-01-01', '2099-12-31']);
  });

  it('is none where the calendar has no such day, and that is said', () => {
    for (const wrong of ['2/25/2027', '31/04/2027', '29 Feb 2027', '0/3/2027', '2027-13-01']) expect([dateOf(wrong), noDate(wrong)], wrong).toEqual([null, expect.stringMatching(/^The calendar has no such day; the day comes before the month\. Write the date as /)]);
    for (const wrong of ['31 Foo', 'soon', '', '5/3', '5/3/027', '5 Ma 2027', '5 Marble 2027', 'Foo 5 Mar 2027', '5 Mar', '20270305']) expect([dateOf(wrong), noDate(wrong)], wrong).toEqual([null, 'Write the date as 1 Mar 2027 or 01/03/2027.']);
  });

  it('has its own weekday, or none', () => {
    expect([dateOf('Mon 5 Mar 2027'), noDate('Mon 5 Mar 2027')]).toEqual([null, '5 March 2027 is a Friday, not a Monday. Put the day or the date right.']);
    expect([dateOf('5/3/27'), noDate('5/3/27')]).toEqual(['2027-03-05', '']);
  });
});

describe('codes', () => {
  it('says what every code of a finding means', () => {
    expect(CODES.size).toBeGreaterThan(100);
    expect(CODES.get('U-PLACE')).toMatch(/working plane/);
    for (const meaning of CODES.values()) expect(meaning).not.toContain('`');
  });
});

describe('what a finding leads to', () => {
  const week = sheet({ gangs: 2 });
  const finding = (place: string, job: string | null) => ({ code: 'X', severity: 'fault', place, job, text: '', remedy: '' });

  it('is the field of a job, a street, or a gang-day', () => {
    expect(leadOf(finding('jobs.geojson, J-004, sections', 'J-004'), week)).toMatchObject({ leads: { what: 'job', id: 'J-004' }, property: 'sections' });
    const street = week.streets[0]!;
    expect(leadOf(finding(`streets.geojson, ${street.id}`, null), week)).toMatchObject({ leads: { what: 'street', id: street.id } });
    const column = week.plan!.columns[0]!;
    expect(leadOf(finding(`${column.gang} ${column.date}`, null), week)).toMatchObject({ leads: { what: 'route', key: column.key } });
    expect(leadOf(finding('week.json, temperature_c, line 7 column 3', null), week)).toMatchObject({ row: { file: 'week.json', row: null }, property: 'temperature_c' });
    expect(leadOf(finding('week.json, rate.crew_hour', null), week)).toMatchObject({ figure: 'rate.crew_hour' });
    expect(leadOf(finding('materials.json, density.type1, value', null), week)).toMatchObject({ figure: 'density.type1' });
    const gang = week.gangs[0]!;
    expect(leadOf(finding(`gangs.json, ${gang.id}, people`, null), week)).toMatchObject({ row: { file: 'gangs.json', row: gang.id }, property: 'people', words: `${gang.name}, people` });
    expect(leadOf(finding('gangs.json, nobody', null), week)).toBeNull();
  });

  it('is the tip, where a gang has its id too and the finding is about the tip’s place, else the gang', () => {
    const [gang] = week.gangs;
    const same = { ...week, tips: [{ id: gang!.id, name: 'North yard', at: [-3.53, 54.01] as [number, number] }, { id: 'T9', name: 'South yard', at: [-3.53, 54.01] as [number, number] }] };
    expect(leadOf(finding(`gangs.json, ${gang!.id}, at`, null), same)).toMatchObject({ row: { row: gang!.id, yard: 'tip' }, words: 'North yard, at' });
    expect(leadOf(finding(`gangs.json, ${gang!.id}, name`, null), same)).toMatchObject({ row: { row: gang!.id, yard: 'gang' } });
    const left = { ...finding(`gangs.json, ${gang!.id}, at`, null), code: 'G-FAR' };
    expect(leadOf(left, { ...week, findings: [left] })).toMatchObject({ aside: { file: 'gangs.json', place: `${gang!.id}, at` } });
    expect(leadOf(finding('gangs.json, T9, name', null), same)).toMatchObject({ row: { row: 'T9', yard: 'tip' }, words: 'South yard, name' });
  });

  it('is what reading had to refuse, where it is no job, street or gang of the sheet or another is called the same', () => {
    const own = [['J-GEOM', 'jobs.geojson, Z-9, geometry'], ['J-ID', 'jobs.geojson, feature 4, id'], ['J-DUP', `jobs.geojson, ${week.jobs[0]!.id}, id`], ['S-GEOM', 'streets.geojson, lane, geometry'], ['G-HOURS', 'gangs.json, gang 2, shift']] as const;
    const faults = own.map(([code, place]) => ({ ...finding(place, null), code }));
    const sheet = { ...week, findings: faults };
    for (const fault of faults) {
      const [file, ...rest] = fault.place.split(', ');
      expect(leadOf(fault, sheet)).toMatchObject({ aside: { file, place: rest.join(', ') }, words: `${rest[0]}, left out` });
      expect(leadOf({ ...fault, code: 'J-SIZE' }, { ...week, findings: [] })?.aside).toBeUndefined();
    }
    expect(leadOf({ ...finding('Z-9, Ref, line 4 column 1', 'Z-9'), code: 'J-THERE' }, week)).toMatchObject({ aside: { file: 'jobs.geojson', place: 'Z-9' }, words: 'Z-9, left out' });
  });

  it('is the row of a list that is looked at, whatever job of the programme it is about', () => {
    const others = { ...finding(`${week.jobs[0]!.id}, Ref, line 4 column 1`, week.jobs[0]!.id), code: 'J-OTHERS', row: 2 };
    expect(leadOf(others, week)).toMatchObject({ words: 'Row 3', listed: 2, leads: null });
  });

  it('is what makes a file anew, where nothing in it can be shown to be mended', () => {
    const of = (code: string, place: string): unknown => leadOf({ ...finding(place, null), code }, week)?.command;
    expect([of('F-PLAN', 'plan.json, route 1'), of('F-NETWORK', 'network.json'), of('F-DIARY', 'issues.json'), of('G-NONE', 'gangs.json, gangs'), of('F-MISSING', 'jobs.geojson')]).toEqual(['p', 'I', 'o', 'D', 'i']);
    expect([of('F-JSON', 'method.json, line 3 column 1'), of('F-LOST', 'jobs.geojson'), of('F-LOST', 'week.gpkg'), of('F-READONLY', 'week.gpkg')]).toEqual(['o', 'i', 'H', 'S']);
    expect(leadOf({ ...finding('diary.json', null), code: 'F-DIARY' }, week)).toMatchObject({ leads: { what: 'job' } });
    for (const key of ['p', 'I', 'v', 'D', 'i', 'o', 'H', 'S', 'W']) expect(COMMANDS.some((one) => one.key === key), key).toBe(true);
    expect(leadOf(finding('today', null), week)).toMatchObject({ row: { file: 'week.json', row: null }, property: 'today' });
    for (const code of NOWHERE.keys()) expect(CODES.has(code), code).toBe(true);
  });

  it('is put where two numbers say, and nowhere else', () => {
    expect([placeOf('-3.5', '54'), placeOf('−3.5', ' 54 '), placeOf('', '54'), placeOf('3 W', '54')]).toEqual([[-3.5, 54], [-3.5, 54], null, null]);
  });

  it('the air is one figure, or a range where days differ', () => {
    expect(airOf(10, undefined, ['a', 'b'])).toBe('10 °C');
    expect(airOf(10, { b: -2, c: 30 }, ['a', 'b'])).toBe('−2 to 10 °C');
    expect(airOf(10, { b: { '06:00': 3, '13:00': 12 } }, ['a', 'b'])).toBe('3 to 12 °C');
  });

  it('figures are found by words, by whose they are, and by whether a document stands behind them', () => {
    const row = { key: 'density.type1', value: 2.05, unit: 't/m3', source: 'From memory', date: '', own: false, shipped: 2.05 };
    expect([figurePasses(row, 'type1 density', 'all'), figurePasses(row, 'mortar', 'all'), figurePasses(row, '', 'own'), figurePasses(row, '', 'unsourced'), figurePasses({ ...row, source: 'SROH, A2' }, '', 'unsourced')]).toEqual([true, false, false, true, false]);
    expect([memberOf('3', 4), memberOf('3', 'x'), memberOf('["a"]', []), memberOf(' ', 1), memberOf('Oak', undefined)]).toEqual([3, '3', ['a'], null, 'Oak']);
  });
});

describe('lasso and filter', () => {
  it('catches what lies within, in a ring that is no box too', () => {
    const box = boxOf([0, 0], [10, 10]);
    expect([within([5, 5], box), within([11, 5], box)]).toEqual([true, false]);
    const hook: [number, number][] = [[0, 0], [10, 0], [10, 10], [8, 10], [8, 2], [0, 2]];
    expect([within([9, 9], hook), within([4, 6], hook)]).toEqual([true, false]);
    const places = [{ at: [1, 1] as const }, { at: [20, 1] as const }];
    expect(caught(places, box, (at) => at)).toEqual([places[0]]);
    expect(caught(places, box.slice(0, 2), (at) => at)).toEqual([]);
  });

  it('passes what has one of the words on every side that is named', () => {
    const traits = { gang: 'oak', state: 'planned', work: 'new', position: 'verge', priority: '1' };
    expect(passes(traits, new Map())).toBe(true);
    expect(passes(traits, new Map([['gang', new Set(['oak', 'ash'])], ['work', new Set(['new'])]]))).toBe(true);
    expect(passes(traits, new Map([['gang', new Set(['oak'])], ['work', new Set(['adjust'])]]))).toBe(false);
  });
});

describe('what is in hand', () => {
  const columns = sheet({ gangs: 2 }).plan!.columns;

  it('puts gang-days as they would be in the place of those that are', () => {
    const then = { ...columns[0]!, back: 1 };
    const fresh = { ...columns[0]!, key: 'new@day' };
    const outcome = { columns: [then, fresh], emptied: [columns[1]!.key] } as never;
    const shown = thenOf(outcome);
    expect(shown.get(then.key)).toBe(then);
    expect(shown.get('new@day')).toBe(fresh);
    expect(shown.get(columns[1]!.key)).toBeNull();
    expect(shown.has(columns[2]!.key)).toBe(false);
    expect(thenOf({ columns: [{ ...then }, { ...fresh, back: 2 }], emptied: [] } as never, shown).get(then.key)).toBe(then);
    expect(thenOf({ columns: [{ ...fresh, back: 2 }], emptied: [] } as never, shown).get('new@day')!.back).toBe(2);
    expect(thenOf(null)).toBe(thenOf(null));
  });

  it('could begin where it costs least, first of all, or after each visit of another job', () => {
    const column = columns[0]!;
    const times = timesOf(column, column.jobs[0]!);
    expect(times.slice(0, 2)).toEqual([null, column.shift_from]);
    const others = column.layers.filter((layer) => layer.kind === 'work' && layer.job !== column.jobs[0]);
    expect(times).toHaveLength(2 + new Set(others.map((layer) => layer.from)).size);
  });
});

describe('a field of a job', () => {
  it('takes whole numbers, text, or nothing', () => {
    expect([valueOf('count', ' 6 '), valueOf('mm', '12.5'), valueOf('count', 'six'), valueOf('text', 'x'), valueOf('mm', '')]).toEqual([6, undefined, undefined, 'x', null]);
  });

  it('takes dates day first, lists with commas, hours as spans, and writes them so', () => {
    for (const [kind, text, value] of ([
      ['date', '05/03/2027', '2027-03-05'],
      ['texts', 'street works, confined space', ['street works', 'confined space']],
      ['hours', '09:30–12:00, 13:00–15:30', [['09:30', '12:00'], ['13:00', '15:30']]],
    ] as const)) {
      expect(valueOf(kind, text)).toEqual(value);
      expect(fieldText(kind, value)).toBe(text);
    }
    expect([valueOf('date', '31/02/2027'), valueOf('hours', '09:30'), valueOf('hours', '9 to 5')]).toEqual([undefined, undefined, undefined]);
    expect(valueOf('hours', '0930-1530')).toEqual([['09:30', '15:30']]);
    expect(valueOf('long', ' two\nlines ')).toBe(' two\nlines ');
  });
});
