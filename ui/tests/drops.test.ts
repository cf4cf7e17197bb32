import { readdirSync, readFileSync } from 'node:fs';
import { CODES } from '../src/codes';
import { beforeEach, describe, expect, it } from 'vitest';
import { takeFiles, takeThings } from '../src/drops';
import { useDoor, type Thing } from '../src/host';
import { basemap } from '../src/state/basemap.svelte';
import { desk } from '../src/state/desk.svelte';
import { drops } from '../src/state/drops.svelte';
import { leaving } from '../src/state/leaving.svelte';
import { programme } from '../src/state/programme.svelte';
import { selection } from '../src/state/selection.svelte';
import type { Request } from '../src/types/gangday';
import { openBehindDoor, type Answers } from './door';
import { sheet } from './fixture.mjs';

const week = { ...sheet({ gangs: 2 }), unsaved: false };
const preview = { of: 1, fresh: 1, changed: 0, same: 0, at_fault: 0, near: 0, words: [], rows: [], gone: [], staying: [], columns: [], findings: [], mapping: {}, remembered: false, digest: 'd1' };
let asked: Request[] = [];
let read: unknown[] = [];
let refuses: string | null = null;

const file = (path: string): Thing => ({ path, is: 'file' });
const opened = (): unknown[] => asked.filter((one) => one.ask === 'open');

beforeEach(() => {
  [read, refuses] = [[], null];
  drops.refused = null;
  desk.over = null;
  selection.clear();
  basemap.clear();
  const answers: Answers = (request) => {
    if (request.ask === refuses) throw { text: 'No.', findings: [] };
    if (request.ask === 'progress') return { is: 'progress', progress: { running: false, reading: true, title: '', fraction: 1, words: '', trace: [], planned: 0, of: 0 } };
    if (request.ask === 'preview') return { is: 'preview', preview } as never;
    return { is: 'sheet', sheet: week };
  };
  asked = openBehindDoor(week, answers, {
    watchDrops: async () => undefined,
    readDropped: async (...piece) => {
      read.push(piece);
      return new ArrayBuffer(3);
    },
  });
});

describe('what is dropped on the window', () => {
  it('is opened where it lies: a programme as a file or a folder, whatever its name', async () => {
    for (const thing of [file('/plans/week.gpkg'), { path: 'C:\\Works\\week.9', is: 'folder' } as const]) await takeThings([thing]);
    expect(opened()).toEqual([{ ask: 'open', folder: '/plans/week.gpkg' }, { ask: 'open', folder: 'C:\\Works\\week.9' }]);
    await takeThings([file('/plans/README')]);
    expect([opened().length, programme.refusal?.text]).toEqual([2, expect.stringMatching(/^README is of no kind/)]);
  });

  it('is read where it lies: an extract, a list, a picture of the job that is selected', async () => {
    selection.pickJobs([week.jobs[0]?.id ?? '']);
    await takeThings([file('/lists/client.csv'), file('/maps/town.osm.pbf'), file('/pictures/hole.JPG')]);
    expect(asked).toContainEqual({ ask: 'read_extract', path: '/maps/town.osm.pbf' });
    expect(asked.filter((one) => one.ask === 'attach')).toEqual([{ ask: 'attach', job: week.jobs[0]?.id, name: 'hole.JPG', base64: '', path: '/pictures/hole.JPG' }]);
    expect(asked.at(-1)).toMatchObject({ ask: 'preview', list: { name: 'client.csv', base64: '', path: '/lists/client.csv' } });
    expect([desk.over, programme.refusal, drops.refused]).toEqual(['intake', null, null]);
  });

  it('is read piece by piece as the page needs it, where it is a map', async () => {
    await takeThings([file('/maps/under.pmtiles')]);
    expect([read, basemap.name]).toEqual([[], 'under.pmtiles']);
    await basemap.file?.read(512, 100);
    expect(read).toEqual([['/maps/under.pmtiles', 512, 100]]);
  });

  it('is taken in the order in which it makes sense, and what is meant for a programme that does not open goes nowhere', async () => {
    await takeThings([file('/lists/client.csv'), file('/plans/week.gpkg')]);
    expect(asked.map((one) => one.ask)).toEqual(['open', 'preview']);
    desk.over = null;
    asked.length = 0;
    refuses = 'open';
    await takeThings([file('/lists/client.csv'), file('/plans/week.gpkg')]);
    expect([asked.map((one) => one.ask).filter((one) => one !== 'there'), programme.refusal?.text]).toEqual([['open'], 'No.']);
  });
});

describe('a drop of which nothing comes', () => {
  const nothing = async (things: readonly Thing[], why: RegExp): Promise<void> => {
    await takeThings(things);
    expect([asked, (drops.refused ?? programme.refusal)?.text]).toEqual([[], expect.stringMatching(why)]);
  };

  it('asks before it opens a programme over changes that are not saved', async () => {
    for (const changed of [{ folder: '/plans/other', undo: null }, { folder: null, undo: 'Delete J001' }])
      for (const go of [false, true]) {
        asked.length = 0;
        programme.sheet = { ...week, demo: true, unsaved: true, ...changed };
        const dropped = takeThings([file('/lists/client.csv'), file('/plans/week.gpkg')]);
        expect([desk.over, leaving.towards, drops.taking]).toEqual(['leave', 'week.gpkg', true]);
        go ? leaving.allTheSame() : leaving.stay();
        await dropped;
        expect([asked.map((one) => one.ask), drops.taking]).toEqual([go ? ['open', 'preview'] : [], false]);
        desk.over = null;
      }
    programme.sheet = { ...week, demo: true, unsaved: true, folder: '/plans/other' };
    asked.length = 0;
    const saved = takeThings([file('/plans/week.gpkg')]);
    await leaving.saveFirst();
    await saved;
    expect(asked.map((one) => one.ask)).toEqual(['save', 'open']);
    refuses = 'save';
    asked.length = 0;
    programme.sheet = { ...week, demo: true, unsaved: true, folder: '/plans/other' };
    const kept = takeThings([file('/plans/week.gpkg')]);
    await leaving.saveFirst();
    expect([programme.refusal?.text, desk.over]).toEqual(['No.', 'leave']);
    leaving.stay();
    await kept;
    expect(asked.map((one) => one.ask)).toEqual(['save']);
    programme.sheet = { ...week, demo: true, unsaved: true, folder: null, undo: null };
    asked.length = 0;
    await takeThings([file('/plans/week.gpkg')]);
    expect(opened().length).toBe(1);
  });

  it('does not choose among several', async () => {
    await nothing([file('/a.csv'), file('/b.xlsx')], /One list .*a\.csv, b\.xlsx/);
    await nothing([file('/a.gpkg'), { path: '/b', is: 'folder' }], /One programme .*a\.gpkg, b/);
  });

  it('says what it does not know, and what is not on this machine', async () => {
    await nothing([file('/music/song.mp3')], /song\.mp3 is of no kind/);
    await nothing([{ path: 'https://example.org/list.csv', is: 'nothing' }], /no file or folder on this machine/);
    await nothing([{ path: '/lists/caf\uFFFD.csv', is: 'nothing' }], /caf\uFFFD\.csv has a name that is no text.*another name/);
  });

  it('leaves what lies over the sheet as it is, and says so there', async () => {
    desk.over = 'intake';
    await nothing([file('/lists/other.csv')], /Put away .*other\.csv/);
    expect([desk.over, programme.refusal]).toEqual(['intake', null]);
  });

  it('waits for what is under way', async () => {
    programme.doing = 'Saving';
    await nothing([file('/lists/other.csv')], /at work.*other\.csv/);
    programme.doing = null;
  });

  it('says all that was refused, and takes the rest', async () => {
    await takeThings([file('/song.mp3'), file('/hole.png'), file('/lists/client.csv')]);
    expect(drops.refused?.text).toMatch(/song\.mp3 is of no kind.* Select a job first; then hole\.png/);
    expect([asked.map((one) => one.ask), desk.over]).toEqual([['preview'], 'intake']);
  });
});

describe('what is dropped on a page in a browser', () => {
  it('comes by its bytes, and a programme can’t', async () => {
    useDoor({ kind: 'loopback', writes: true, ask: async (request) => (asked.push(request), { is: 'preview', preview } as never), saveClientPage: async () => null });
    const list = new File(['Ref'], 'client.csv');
    Object.defineProperty(list, 'arrayBuffer', { value: async () => new TextEncoder().encode('Ref').buffer });
    await takeFiles([list]);
    expect(asked).toMatchObject([{ ask: 'preview', list: { name: 'client.csv', base64: 'UmVm', path: null } }]);
    desk.over = null;
    await takeFiles([new File([], 'week.gpkg')]);
    expect(programme.refusal?.text).toMatch(/week\.gpkg is of no kind.*Open opens it by its path/);
  });
});

describe('a code', () => {
  it('is in the index, whatever the page refuses by it', () => {
    const files = readdirSync('src', { recursive: true, encoding: 'utf8' }).filter((name) => /\.(ts|svelte)$/.test(name));
    const used = files.flatMap((name) => [...readFileSync(`src/${name}`, 'utf8').matchAll(/(?:coded|refuse)\('([A-Z0-9-]+)'/g)].map((hit) => hit[1] ?? ''));
    expect(used.length).toBeGreaterThan(10);
    expect(used.filter((code) => !CODES.has(code))).toEqual([]);
  });
});
