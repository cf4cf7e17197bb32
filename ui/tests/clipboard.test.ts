import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { copyJobs, pasteCopied, pasteJobs } from '../src/editing';
import { programme } from '../src/state/programme.svelte';
import { selection } from '../src/state/selection.svelte';
import type { Request } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const [first, second] = week.jobs.map((job) => job.id) as [string, string];
const COPIED = JSON.stringify({ type: 'FeatureCollection', features: [{ type: 'Feature', id: first }] });

let asked: Request[] = [];

/** A clipboard as the page sees it. */
function clipboard(one: { writeText?: () => Promise<void>; readText?: () => Promise<string> }): void {
  vi.stubGlobal('navigator', { ...navigator, clipboard: { writeText: async () => undefined, ...one } });
}

const edits = (): unknown[] => asked.flatMap((one) => (one.ask === 'edit' ? [one.edit] : []));

beforeEach(() => {
  asked = openBehindDoor(week, (request) => (request.ask === 'copy' ? { is: 'copied', text: COPIED } : { is: 'edited', sheet: week, jobs: [first] }));
  programme.said = '';
  selection.pickJob(first);
});

afterEach(() => vi.unstubAllGlobals());

describe('what is cut', () => {
  it('is what was selected when it was copied, and nothing else is done until it is gone', async () => {
    let doing: string | null = null;
    clipboard({
      writeText: async () => {
        doing = programme.doing;
        selection.pickJob(second);
      },
    });
    await copyJobs(true);
    expect(doing).toBe('Cutting the jobs');
    expect(edits()).toEqual([{ do: 'delete', jobs: [first] }]);
    expect([programme.doing, programme.said]).toEqual([null, `${first} cut. Paste puts it elsewhere; undo takes it back.`]);
  });

  it('is not taken away where it could not be copied, and the desk is free again', async () => {
    asked = openBehindDoor(week, () => Promise.reject(new Error('gone')));
    await copyJobs(true);
    expect([asked.map((one) => one.ask), programme.doing, programme.refusal === null]).toEqual([['copy'], null, false]);
  });
});

describe('what is pasted', () => {
  it('is what was copied last, though the clipboard took only what was copied before it', async () => {
    const LATER = JSON.stringify({ type: 'FeatureCollection', features: [{ type: 'Feature', id: second }] });
    const texts = [COPIED, LATER];
    asked = openBehindDoor(week, (request) => (request.ask === 'copy' ? { is: 'copied', text: texts.shift() ?? '' } : { is: 'edited', sheet: week, jobs: [first] }));
    let taken = '';
    const full = { value: false };
    clipboard({
      writeText: async () => {
        if (full.value) throw new Error('not now');
        taken = COPIED;
      },
      readText: async () => taken,
    });
    await copyJobs();
    full.value = true;
    await copyJobs(true);
    await pasteCopied();
    expect(pasted()).toContain(LATER);
    expect(pasted()).not.toContain(COPIED);
  });

  const OTHER = '{"type": "Feature", "id": "elsewhere"}';
  const pasted = (): unknown[] => edits().map((edit) => (edit as { text: string }).text);
  const NONE = 'What was copied holds no jobs. Copy jobs first, then paste them.';

  it('is what the clipboard has, and no older jobs where that is another text', async () => {
    clipboard({ readText: async () => 'a line of a letter' });
    await copyJobs();
    await pasteJobs('a line of a letter');
    expect([pasted(), programme.said]).toEqual([[], NONE]);
    programme.said = '';
    await pasteCopied();
    expect([pasted(), programme.said]).toEqual([[], NONE]);
    await pasteJobs(OTHER);
    expect(pasted()).toEqual([OTHER]);
  });

  it('is what was copied here last where the clipboard has nothing, or is kept from the page', async () => {
    clipboard({ readText: () => Promise.reject(new Error('denied')) });
    await copyJobs();
    await pasteJobs('');
    await pasteCopied();
    expect(pasted()).toEqual([COPIED, COPIED]);
    clipboard({ writeText: () => Promise.reject(new Error('denied')) });
    await copyJobs();
    await pasteJobs('what stood there before');
    expect(pasted()).toEqual([COPIED, COPIED, COPIED]);
  });
});
