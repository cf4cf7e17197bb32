import { beforeEach, describe, expect, it } from 'vitest';
import { programme } from '../src/state/programme.svelte';
import type { Answer, ProgressView, Request, Sheet } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const idle = { is: 'progress', progress: { running: false } as ProgressView } as Answer;
const unchanged = { is: 'patched', patch: { from: week.edition, edition: week.edition, settled: true, sheet: {}, plan: {}, lists: [] }, jobs: [], told: null } as unknown as Answer;

function desk(answer: Answer, under: Answer = idle): Request[] {
  return openBehindDoor(week, (request) => (request.ask === 'progress' ? under : answer));
}

describe('coming back to a page', () => {
  beforeEach(() => {
    programme.said = '';
    programme.progress = null;
  });

  it('leaves the sheet as it is where nothing was changed elsewhere', async () => {
    const asked = desk(unchanged);
    await programme.lookAgain();
    expect(asked.at(-1)).toEqual({ ask: 'since', edition: week.edition, of: { ask: 'sheet' } });
    expect(programme.sheet).toBe(week);
    expect(programme.said).toBe('');
  });

  it('shows what another page has changed, and says so', async () => {
    const next: Sheet = { ...week, edition: week.edition + 3, undo: 'delete J001' };
    desk({ is: 'sheet', sheet: next });
    await programme.lookAgain();
    expect(programme.sheet?.undo).toBe('delete J001');
    expect(programme.said).toContain('changed in another page');
  });

  it('asks for nothing while something is being done', async () => {
    const asked = desk(unchanged);
    programme.doing = 'Deleting';
    await programme.lookAgain();
    programme.doing = null;
    expect(asked).toEqual([]);
  });

  it('shows a planning that another page began, and its week at the end', async () => {
    const next: Sheet = { ...week, edition: week.edition + 1 };
    const looks: Answer[] = [{ is: 'progress', progress: { running: true, reading: false, words: '' } as ProgressView }];
    const asked = openBehindDoor(week, (request) => (request.ask === 'progress' ? (looks.shift() ?? idle) : { is: 'sheet', sheet: next }));
    await programme.lookAgain();
    expect(programme.sheet?.edition).toBe(next.edition);
    expect(asked.some((one) => one.ask === 'sheet')).toBe(true);
    expect(programme.planning).toBe(false);
  });
});
