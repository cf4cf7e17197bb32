import { beforeEach, describe, expect, it, vi } from 'vitest';
import { COMMANDS } from '../src/commands';
import { press } from '../src/keys';
import { desk } from '../src/state/desk.svelte';
import { programme } from '../src/state/programme.svelte';
import type { Request } from '../src/types/gangday';
import { openBehindDoor, type Answers } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const preview = { of: 1, fresh: 1, changed: 0, same: 0, at_fault: 0, near: 0, words: [], rows: [], gone: [], staying: [], columns: [], findings: [], mapping: {}, remembered: false, digest: 'd1' };
let asked: Request[] = [];
let chosen: string | null = null;

beforeEach(() => {
  desk.over = null;
  const answers: Answers = (request) => {
    if (request.ask === 'progress') return { is: 'progress', progress: { running: false, reading: true, title: '', fraction: 1, words: '', trace: [], planned: 0, of: 0 } };
    if (request.ask === 'preview') return { is: 'preview', preview } as never;
    return { is: 'sheet', sheet: week };
  };
  asked = openBehindDoor(week, answers, { chooseList: async () => chosen });
});

describe('the key that takes in what the host lets the user choose', () => {
  const take = (path: string | null): void => {
    chosen = path;
    COMMANDS.find((one) => one.key === 'i')?.run();
  };

  it('looks at a list where it lies', async () => {
    take('/lists/client.XLSX');
    await vi.waitFor(() => expect(desk.over).toBe('intake'));
    expect(asked).toMatchObject([{ ask: 'preview', list: { name: 'client.XLSX', base64: '', path: '/lists/client.XLSX' } }]);
  });

  it('adds a map extract, as its words say', async () => {
    expect(COMMANDS.find((one) => one.key === 'i')?.says).toMatch(/list of jobs .* or add an OpenStreetMap extract/);
    take('C:\\Maps\\town.osm.PBF');
    await vi.waitFor(() => expect(programme.said).toContain('town.osm.PBF'));
    expect(asked.map((one) => one.ask)).toEqual(expect.not.arrayContaining(['preview']));
    expect(asked).toContainEqual({ ask: 'read_extract', path: 'C:\\Maps\\town.osm.PBF' });
    expect(desk.over).toBeNull();
  });

  it('does nothing where they think better of it', async () => {
    take(null);
    await new Promise((wake) => setTimeout(wake));
    expect([asked, desk.over]).toEqual([[], null]);
  });
});

describe('an undo that is asked for while another is under way', () => {
  /** Presses keys while the desk is at the first of them, and gives what was asked for in the end. */
  async function pressedWhileBusy(keys: string, refuses = false): Promise<string[]> {
    let answer = (): void => {};
    const wait = new Promise<void>((done) => (answer = done));
    const made = openBehindDoor({ ...week, undo: 'Import', redo: 'Import' }, async () => {
      await wait;
      if (refuses) throw { code: '', text: 'No.' };
      return { is: 'sheet', sheet: { ...week, undo: 'Import', redo: 'Import' } };
    });
    const [first = '', ...more] = keys;
    for (const [key, repeat] of [[first, false], ...more.map((one) => [one.replace('…', 'z'), one === '…'] as const)] as const) press(new KeyboardEvent('keydown', { key, repeat, cancelable: true }));
    expect(made.map((one) => one.ask)).toEqual(['undo']);
    answer();
    await vi.waitFor(() => expect(programme.doing).toBeNull());
    await new Promise((wake) => setTimeout(wake, 20));
    await vi.waitFor(() => expect(programme.doing).toBeNull());
    return made.map((one) => one.ask);
  }

  it('is done after it, and so is a redo', async () => {
    expect(await pressedWhileBusy('zzZ')).toEqual(['undo', 'undo', 'redo']);
  });

  it('is not done where the first is refused, or for a key that is kept down', async () => {
    expect(await pressedWhileBusy('zz', true)).toEqual(['undo']);
    expect(await pressedWhileBusy('z…')).toEqual(['undo']);
    expect(await pressedWhileBusy('zp')).toEqual(['undo']);
  });
});
