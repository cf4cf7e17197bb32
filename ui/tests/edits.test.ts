import { render } from '@testing-library/svelte';
import { flushSync } from 'svelte';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { door, useDoor } from '../src/host';
import { CODES } from '../src/codes';
import { columnOf, countOf, foreignWords, mappingOf, mean, meaningOf, misplaced, moreWords, rowsOf, say, standIn } from '../src/intake/mapping';
import IntakeSheet from '../src/panels/IntakeSheet.svelte';
import IntakeTable from '../src/panels/IntakeTable.svelte';
import { area, lostOf, ringOf } from '../src/state/area.svelte';
import { desk } from '../src/state/desk.svelte';
import { nudged } from '../src/state/eye';
import { form, MIXED } from '../src/state/form.svelte';
import { intake } from '../src/state/intake.svelte';
import { patched, relisted } from '../src/state/patch';
import { pin } from '../src/state/pin.svelte';
import { programme } from '../src/state/programme.svelte';
import { selection } from '../src/state/selection.svelte';
import type { PreviewView, Request } from '../src/types/gangday';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const guessed = mappingOf({ id: 'Ref', lon: 'X', lat: 'Y', columns: { sections: 'No' }, words: {}, constants: { work: 'adjust' } });
const preview: PreviewView = {
  columns: ['Ref', 'X', 'Y', 'No', 'Kind'], mapping: { ...guessed }, remembered: false, digest: 'd1', of: 3, fresh: 1, changed: 1, same: 0, at_fault: 1, near: 1, words: [{ property: 'work', word: 'renewal' }], gone: ['J-009'], staying: [],
  rows: [
    { row: 0, cells: ['A1', '-1', '53', '4', 'renewal'], job: 'A1', at: [-1, 53], status: 'new', changes: [], near: 'J-001, 0.8 m away' },
    { row: 1, cells: ['J-002', '-1', '53', '3', 'New'], job: 'J-002', at: [-1, 53], status: 'changed', changes: ['sections 4 → 3'], near: null },
    { row: 2, cells: ['A3', '-1', '53', 'two', ''], job: null, at: null, status: 'fault', changes: [], near: null },
  ],
  findings: [{ code: 'J-SIZE', severity: 'fault', place: 'a.csv, A3, sections, line 4 column 1', row: 2, job: null, text: 'It is the text "two".', remedy: 'Write a number.' }],
};

let asked: Request[] = [];
let properties: Record<string, unknown>[] = [];

beforeEach(() => {
  asked = [];
  properties = [{ work: 'new', sections: 4 }, { work: 'new', sections: 3 }];
  programme.sheet = week;
  programme.doing = null;
  programme.refusal = null;
  desk.over = null;
  selection.clear();
  useDoor({
    kind: 'loopback', writes: true, saveClientPage: async () => null,
    ask: async (request) => {
      asked.push(request);
      if (request.ask === 'preview') return { is: 'preview', preview };
      if (request.ask === 'fields') return { is: 'fields', fields: [{ name: 'sections', label: 'Sections', kind: 'count', choices: [] }, { name: 'work', label: 'Work', kind: 'choice', choices: ['new', 'replace', 'adjust'] }] };
      if (request.ask === 'stated') return { is: 'stated', jobs: request.jobs.map((id, i) => ({ id, at: [0, 0], properties: properties[i] ?? {} })) };
      return { is: 'edited', sheet: { ...week, edition: week.edition + asked.length }, jobs: ['J-001'] };
    },
  });
});

describe('the columns of a list', () => {
  it('mean one thing each, and nothing is filled by two', () => {
    expect(['Ref', 'No', 'Kind'].map((column) => meaningOf(guessed, column))).toEqual(['id', 'sections', '']);
    const other = mean(mean(guessed, 'Kind', 'sections'), 'No', 'id');
    expect(other).toMatchObject({ id: 'No', columns: { sections: 'Kind' } });
    const without = mean(guessed, 'No', 'left_out');
    expect([meaningOf(without, 'No'), without.columns, without.left_out]).toEqual(['left_out', {}, ['No']]);
    expect(mean(without, 'No', 'sections').columns).toEqual(guessed.columns);
    expect(mean(without, 'No', 'lat').left_out).toEqual([]);
    expect(meaningOf(other, 'Ref')).toBe('');
    expect(mean(guessed, 'X', '')).toMatchObject({ lon: null, lat: 'Y' });
  });

  it('may say words that are not ours, but for how they are written', () => {
    const fields = [{ name: 'work', label: 'Work', kind: 'choice', choices: ['new', 'replace', 'adjust'] }];
    const mapping = mean(guessed, 'Kind', 'work');
    expect(foreignWords(preview, mapping, fields).map((one) => one.word)).toEqual(['renewal']);
    expect(foreignWords(preview, say(mapping, 'work', 'renewal', 'replace'), fields)[0]?.meaning).toBe('replace');
    expect(say(say(mapping, 'work', 'renewal', 'replace'), 'work', 'renewal', '').words).toEqual({ work: {} });
  });

  it('are shown each where headings are missing or stand there twice', async () => {
    intake.which = 'all';
    const twice = { ...preview, columns: ['Ref', '', 'Ref', '', 'Kind'] };
    render(IntakeTable, { preview: twice });
    expect([...document.querySelectorAll('.heading')].map((one) => one.textContent)).toEqual(twice.columns);
    expect(document.querySelectorAll('tbody tr')).toHaveLength(preview.rows.length);
  });

  it('leave to constants what they do not say', () => {
    expect(standIn(guessed, 'sections', 2).constants).toEqual({ work: 'adjust', sections: 2 });
    expect(standIn(guessed, 'work', null).constants).toEqual({});
  });

  it('are told row by row', () => {
    expect([rowsOf(preview, 'near').length, rowsOf(preview, 'fault').length, rowsOf(preview, 'all').length]).toEqual([1, 1, 3]);
  });
});

describe('a list of more rows than are shown', () => {
  it('says so of each kind, and says nothing where all of it is shown', () => {
    const long = { ...preview, of: 12000, fresh: 9000, at_fault: 3214, near: 1 };
    expect([countOf(long, 'all'), countOf(long, 'fault'), countOf(long, 'near')]).toEqual([12000, 3214, 1]);
    expect(moreWords(long, 'fault')).toBe('the first 1 of 3,214 are shown; the others are at fault too');
    expect(moreWords(long, 'all')).toMatch(/^3 of 12,000 are shown: /);
    expect([moreWords(long, 'near'), moreWords(preview, 'all')]).toEqual(['', '']);
    render(IntakeTable, { preview: long });
    expect(document.querySelector('.pages')?.textContent).toContain('3 of 12,000 are shown');
  });

  it('keeps in sight whatever was done to by hand', async () => {
    await intake.look('a.csv', 'YQ==');
    intake.leave([0], true);
    await intake.correct(2, 'No', '2');
    const last = asked.at(-1);
    expect(last?.ask === 'preview' && last.list.also).toEqual([0, 2]);
    intake.which = 'changed';
    await intake.showMore();
    const more = asked.at(-1);
    expect(more?.ask === 'preview' && more.list.also).toEqual([1, 0, 2]);
  });
});

describe('a row of a list that is at fault', () => {
  it('says what to do, what its code means, and leads to the cell that mends it', async () => {
    await form.learn();
    await intake.look('a.csv', 'YQ==');
    intake.which = 'all';
    render(IntakeTable, { preview });
    const row = document.querySelector<HTMLElement>('[data-row="2"]')!;
    expect(row.textContent).toMatch(/It is the text "two"\.\s+Write a number\./);
    const code = row.querySelector<HTMLButtonElement>('[aria-expanded]')!;
    expect([code.textContent, row.querySelector('.meaning')]).toEqual(['J-SIZE', null]);
    code.click();
    flushSync();
    expect(row.querySelector('.meaning')?.textContent).toBe(CODES.get('J-SIZE'));
    const lead = [...row.querySelectorAll('button')].find((one) => one.textContent?.startsWith('No'));
    expect(lead?.textContent).toBe('No, row 3: put it right');
    lead?.click();
    expect(intake.sought).toEqual({ row: 2, column: 'No' });
    intake.sought = null;
  });

  it('is led to by the column that its finding is about', () => {
    const of = (place: string, job: string | null = null): string | null => columnOf(guessed, preview.columns, { ...preview.findings[0]!, place, job });
    expect([of('a.csv, A3, sections, line 4 column 1'), of('a.csv, A3, geometry, line 4 column 1'), of('a.csv, A3, Y, line 4 column 1'), of('A3, Ref, line 4 column 1', 'A3')]).toEqual(['No', 'X', 'Y', 'Ref']);
    expect([of('a.csv, A3, line 4 column 1'), of('a.csv, A3, closure, line 4 column 1'), of('Ref', 'Ref')]).toEqual([null, null, null]);
  });
});

describe('a row of a list that lies where it can’t be', () => {
  it('is put on the map, as one that says no place', async () => {
    const fault = (place: string) => ({ ...preview.findings[0]!, code: 'J-FAR', place });
    const own = [fault('a.csv, A3, geometry, line 4 column 1'), fault('a.csv, A3, Y, line 4 column 1'), fault('a.csv, A3, sections, line 4 column 1'), { ...fault('a.csv, A3, geometry, line 4 column 1'), severity: 'warning' }];
    expect(own.map((one) => misplaced(guessed, one))).toEqual([true, true, false, false]);
    const rows = preview.rows.map((row) => ({ ...row, cells: ['A', '-1', '53', '3', ''] }));
    for (const [finding, pins] of [[own[0]!, 1], [own[2]!, 0]] as const) {
      const shown: PreviewView = { ...preview, rows, findings: [finding] };
      intake.preview = shown;
      const { unmount } = render(IntakeTable, { preview: shown });
      expect(document.querySelectorAll('[data-row="2"] .pin')).toHaveLength(pins);
      expect(document.querySelectorAll('.pin')).toHaveLength(pins);
      unmount();
    }
    const points = { ...preview, columns: [], rows: rows.map((row) => ({ ...row, cells: [] })), findings: [own[0]!] };
    intake.preview = points;
    render(IntakeTable, { preview: points });
    expect(document.querySelectorAll('.pin'), 'GeoJSON has no cells that could say it').toHaveLength(0);
  });
});

describe('what is gone from a list', () => {
  it('is told by whose list it is, and where nothing is told it is said why', async () => {
    const shown = { ...preview, gone: [] as string[] };
    const was = door();
    useDoor({ ...was, ask: async (request) => (request.ask === 'preview' ? { is: 'preview', preview: shown } : await was.ask(request)) });
    intake.client = '';
    await intake.look('a.csv', 'YQ==');
    const { container } = render(IntakeSheet);
    const told = (): string => [...container.querySelectorAll('h3')].find((one) => one.textContent === 'Gone from the list')?.nextElementSibling?.textContent ?? '';
    expect(told()).toContain('To see what is gone, name whose list it is above');
    await intake.setClient('Sallow Water');
    flushSync();
    expect(told()).toMatch(/^No job that came in an earlier list of Sallow Water is gone\./);
    shown.gone = ['J-009'];
    await intake.look('a.csv', 'YQ==');
    flushSync();
    expect(told()).toBe('J-009');
    programme.sheet = { ...week, jobs: [] };
    shown.gone = [];
    await intake.look('a.csv', 'YQ==');
    flushSync();
    expect(told(), 'of an empty programme nothing is gone').toBe('');
    intake.client = '';
  });
});

describe('a pin for a row of a list', () => {
  it('that is let go leaves the list, looked at again, for the programme may be another by now', async () => {
    await intake.look('a.csv', 'YQ==');
    pin.takeRow(2, [0, 0]);
    expect([desk.over, pin.held?.row]).toEqual([null, 2]);
    const other = { ...preview, fresh: 0, same: 1, rows: preview.rows.map((row) => (row.row === 0 ? { ...row, status: 'same' } : row)) };
    const was = door();
    useDoor({ ...was, ask: async (request) => (asked.push(request), request.ask === 'preview' ? { is: 'preview', preview: other } : await was.ask(request)) });
    pin.letGo();
    expect([desk.over, intake.sought]).toEqual(['intake', { row: 2, column: null }]);
    await vi.waitFor(() => expect(intake.taken).toBe(1));
    expect(asked.filter((one) => one.ask === 'preview')).toHaveLength(2);
    useDoor(was);
  });

  it('is put down on no row of another list that came meanwhile', async () => {
    await intake.look('a.csv', 'YQ==');
    pin.takeRow(2, [0, 0]);
    await intake.look('b.csv', 'YQ==');
    const before = asked.length;
    await pin.putDown();
    expect([pin.held, asked.length, intake.placed(2)]).toEqual([null, before, false]);
  });
});

describe('a list on its way in', () => {
  it('is looked at before anything changes, and asked about again with what was put right', async () => {
    await intake.look('a.csv', 'YQ==');
    expect([desk.over, intake.taken, asked.map((one) => one.ask)]).toEqual(['intake', 2, ['preview']]);
    expect(intake.faults.get(2)?.[0]?.code).toBe('J-SIZE');
    await intake.correct(2, 'No', '2');
    await intake.correct(2, 'No', '3');
    await intake.setMapping(mean(guessed, 'Kind', 'work'));
    const last = asked.at(-1);
    expect(last?.ask === 'preview' && last.list.corrections).toEqual([{ row: 2, column: 'No', value: '3' }]);
    expect(last?.ask === 'preview' && last.list.mapping?.['columns']).toEqual({ sections: 'No', work: 'Kind' });
  });

  it('that is looked at can be stopped: the first look leaves nothing, a later one what was looked at last', async () => {
    let answer: (thrown: unknown) => void = () => undefined;
    const slow: Parameters<typeof useDoor>[0] = {
      kind: 'loopback', writes: true, saveClientPage: async () => null,
      ask: async (request) => {
        asked.push(request);
        if (request.ask === 'preview') return new Promise((_, refuse) => (answer = refuse));
        const progress = { running: true, reading: true, title: 'Looking at the list', fraction: 0.5, words: 'Row 65 of 12,000 read', trace: [], planned: 0, of: 0 };
        if (request.ask === 'progress') return { is: 'progress', progress };
        answer({ text: 'It was stopped; nothing was changed.', findings: [] });
        return { is: 'sheet', sheet: week };
      },
    };
    const seen = () => vi.waitFor(() => expect(programme.progress?.words).toBe('Row 65 of 12,000 read'));
    const quick = door();
    useDoor(slow);
    const looked = intake.look('a.csv', 'YQ==');
    await seen();
    await programme.stop();
    await looked;
    expect([desk.over, intake.preview, programme.refusal, programme.doing, programme.progress]).toEqual([null, null, null, null, null]);
    expect(programme.said).toBe('Stopped; nothing of the list was taken in.');
    useDoor(quick);
    await intake.look('a.csv', 'YQ==');
    await intake.correct(2, 'No', '2');
    useDoor(slow);
    const again = intake.correct(2, 'No', '9');
    await seen();
    await programme.stop();
    await again;
    expect([desk.over, intake.refusal, intake.told]).toEqual(['intake', null, 'Stopped; what was asked for last is taken back.']);
    useDoor(quick);
    await intake.takeIn();
    const last = asked.at(-1);
    expect(last?.ask === 'take_in' && last.list.corrections).toEqual([{ row: 2, column: 'No', value: '2' }]);
  });

  it('keeps to what is remembered for a client until the columns are matched by hand', async () => {
    await intake.look('a.csv', 'YQ==');
    await intake.setClient(' Sallow Water ');
    const last = asked.at(-1);
    expect(last?.ask === 'preview' && [last.list.client, last.list.mapping]).toEqual(['Sallow Water', null]);
  });

  it('is taken in without the rows that were left out', async () => {
    await intake.look('a.csv', 'YQ==');
    intake.leave([0, 2], true);
    expect(intake.taken).toBe(1);
    await intake.takeIn();
    const last = asked.at(-1);
    expect(last?.ask === 'take_in' && [last.skip, last.delete_gone]).toEqual([[0, 2], false]);
    expect(last?.ask === 'take_in' && last.list.seen).toBe('d1');
    expect([desk.over, selection.job]).toEqual([null, 'J-001']);
  });

  it('that was changed where it lies is refused, and shown anew without what was done to its rows', async () => {
    const text = 'a.csv has changed since it was looked at; look at it again.';
    let digest = 'd1';
    useDoor({
      kind: 'window',
      writes: true,
      saveClientPage: async () => null,
      ask: async (request) => {
        asked.push(request);
        if (request.ask === 'preview') return { is: 'preview', preview: { ...preview, digest } };
        throw { text, findings: [] };
      },
    });
    await intake.look('a.csv', '', '/lists/a.csv');
    await intake.correct(2, 'No', '3');
    await intake.place(1, [0, 0]);
    intake.leave([0], true);
    digest = 'd2';
    asked.length = 0;
    await intake.takeIn();
    expect(asked.filter((one) => one.ask === 'take_in').map((one) => one.ask === 'take_in' && one.list.seen)).toEqual(['d1']);
    const last = asked.at(-1);
    expect(last?.ask === 'preview' && [last.list.corrections, last.list.places]).toEqual([[], []]);
    expect([intake.preview?.digest, intake.skip.size, intake.corrected(2, 'No'), intake.placed(1)]).toEqual(['d2', 0, false, false]);
    expect([desk.over, intake.refusal?.text]).toEqual(['intake', text]);
    expect(intake.told).toMatch(/^a\.csv has changed meanwhile .*; rows left out/);
  });
});

describe('what several jobs state', () => {
  it('is one value where they agree and mixed where they do not', async () => {
    await form.read(['J-001', 'J-002'], 1);
    expect([form.value('work'), form.value('sections') === MIXED, form.value('permit')]).toEqual(['new', true, undefined]);
  });

  it('is changed in all of them at once', async () => {
    expect(await form.put(['J-001', 'J-002'], 'sections', 5)).toBe(true);
    expect(asked.at(-1)).toEqual({ ask: 'edit', edit: { do: 'set', jobs: ['J-001', 'J-002'], properties: { sections: 5 } } });
    expect(programme.said).toMatch(/^2 jobs: sections changed/);
  });
});

describe('a sheet of which only some is others now', () => {
  const rows = [{ id: 'a', n: 1 }, { id: 'b', n: 1 }, { id: 'c', n: 1 }];

  it('has rows taken out, put in the place of their like, and put in between', () => {
    const put = [{ at: 1, row: { id: 'x', n: 2 } }, { at: 9, row: { id: 'c', n: 3 } }, { at: 2, row: { id: 'y', n: 2 } }];
    expect(relisted(rows, { key: 'id', gone: ['b'], put })).toEqual([{ id: 'a', n: 1 }, { id: 'x', n: 2 }, { id: 'y', n: 2 }, { id: 'c', n: 3 }]);
    expect(rows).toHaveLength(3);
  });

  it('is another sheet, and the one before stays as it was', () => {
    const column = week.plan!.columns[0]!;
    const next = patched(week, { from: week.edition, edition: 9, settled: false, sheet: { undo: 'move J-001' }, plan: { summary: 'other' }, lists: [{ list: 'plan.columns', key: 'key', gone: [], put: [{ at: 0, row: { ...column, back: 1 } }] }, { list: 'jobs', key: 'id', gone: ['J-001'], put: [] }] });
    expect([next.edition, next.undo, next.plan!.summary, next.plan!.columns[0]!.back]).toEqual([9, 'move J-001', 'other', 1]);
    expect(next.jobs).toHaveLength(week.jobs.length - 1);
    expect([week.plan!.columns[0], week.jobs.length]).toEqual([column, week.jobs.length]);
  });
});

describe('a works area', () => {
  it('is drawn corner by corner and kept as a closed polygon', async () => {
    selection.pickJob('J-001');
    await form.read(['J-001'], 2);
    area.begin();
    area.set();
    area.nudge(10, 0);
    area.set();
    area.nudge(0, 10);
    expect([area.ring.length, area.at]).toEqual([3, 2]);
    await area.keep();
    const last = asked.at(-1);
    const put = last?.ask === 'edit' && last.edit.do === 'set' ? (last.edit.properties['works_area'] as { coordinates: [number, number][][] }) : null;
    expect(put?.coordinates[0]).toHaveLength(4);
    expect(put?.coordinates[0]?.[0]).toEqual(put?.coordinates[0]?.[3]);
    expect(area.job).toBeNull();
  });

  it('is not kept with fewer than three corners', async () => {
    selection.pickJob('J-001');
    area.begin();
    area.set();
    area.nudge(1, 1);
    await area.keep();
    expect(asked.some((one) => one.ask === 'edit')).toBe(false);
    expect(programme.said).toMatch(/three corners/);
    area.letGo();
  });

  it('is read from GeoJSON and from nothing else', () => {
    expect(ringOf({ type: 'Polygon', coordinates: [[[0, 0], [1, 0], [1, 1], [0, 0]]] })).toEqual([[0, 0], [1, 0], [1, 1]]);
    expect([ringOf('a yard'), ringOf(null), ringOf({ coordinates: [['x']] })]).toEqual([[], [], []]);
    expect(ringOf({ type: 'MultiPolygon', coordinates: [[[[0, 0], [1, 0], [1, 1], [0, 0]]], [[[5, 5], [6, 5], [6, 6], [5, 5]]]] })).toEqual([[0, 0], [1, 0], [1, 1]]);
  });

  it('tells before it is drawn anew what will be gone of it', async () => {
    const ring = [[0, 0], [1, 0], [1, 1], [0, 0]];
    expect([undefined, null, { type: 'Polygon', coordinates: [ring] }, { type: 'MultiPolygon', coordinates: [[ring]] }].map(lostOf)).toEqual(['', '', '', '']);
    expect(lostOf({ type: 'MultiPolygon', coordinates: [[ring, ring], [ring], [ring]] })).toBe('Only this outline is kept: the 2 other parts and the hole in it will be gone.');
    expect(lostOf('the yard')).toMatch(/can’t be drawn here/);
    properties[0]!['works_area'] = { type: 'Polygon', coordinates: [ring, ring] };
    selection.pickJob('J-001');
    await form.read(['J-001'], 77);
    area.begin();
    expect([area.ring.length, area.lost]).toEqual([3, 'Only this outline is kept: the hole in it will be gone.']);
    area.letGo();
    properties[0]!['works_area'] = undefined;
    await form.read(['J-001'], 78);
    area.begin();
    expect(area.lost).toBe('');
    area.letGo();
  });

  it('is nudged in metres', () => {
    const [lon, lat] = nudged([-3.5, 54], 10, 10);
    // One degree of latitude is 111.2 km on a sphere of the Earth's mean radius, 6,371 km.
    expect((lat - 54) * 111_195).toBeCloseTo(10, 6);
    expect((lon + 3.5) * 111_195 * Math.cos((54 * Math.PI) / 180)).toBeCloseTo(10, 6);
  });
});
