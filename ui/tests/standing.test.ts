import { render, screen, within } from '@testing-library/svelte';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { can, COMMANDS } from '../src/commands';
import JobSheet from '../src/panels/JobSheet.svelte';
import Notes from '../src/Notes.svelte';
import { desk } from '../src/state/desk.svelte';
import { programme } from '../src/state/programme.svelte';
import { selection } from '../src/state/selection.svelte';
import type { Answer, Request, Sheet } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { detail, sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const [one, other, third] = week.jobs.map((job) => job.id) as [string, string, string];
const REASON = 'It stands as issued with Ash gang on Fri 26 Feb, in an earlier week; record it as done, or bring it over to plan it in this one.';

let asked: Request[] = [];

/** The week after, with nothing in it and these jobs standing as issued. */
function standing(jobs: readonly string[]): Sheet {
  const plan = week.plan && { ...week.plan, columns: [], closures: [], unplanned: jobs.map((job) => ({ job, reasons: [REASON], codes: ['U-STANDS'] })) };
  return { ...week, edition: week.edition + 1, jobs: week.jobs.map((job) => ({ ...job, route: null })), plan };
}

/** Opens it behind a door that has the jobs that are asked for, or all, stand no more. */
function open(jobs: readonly string[], writes = true): void {
  const answer = async (request: Request): Promise<Answer> => {
    if (request.ask === 'job') return { is: 'job', detail: detail(request.id) };
    if (request.ask !== 'record_as_issued' && request.ask !== 'bring_over') return { is: 'stated', jobs: [] };
    const gone = request.jobs ?? jobs;
    return { is: 'edited', sheet: standing(jobs.filter((job) => !gone.includes(job))), jobs: [...gone], told: `${gone.length} of them.` };
  };
  asked = openBehindDoor(standing(jobs), answer, { writes });
}

const changes = (): Request[] => asked.filter((request) => request.ask === 'record_as_issued' || request.ask === 'bring_over');

beforeEach(() => {
  programme.said = '';
  desk.fold('wrong', false);
  selection.clear();
});

describe('what stands as issued', () => {
  it('is told by itself, and both ways out are there for all of it', async () => {
    open([one, other]);
    render(Notes, { sheet: programme.sheet });
    const note = screen.getByRole('note', { name: 'Standing as issued' });
    expect(note).toHaveTextContent(/^2 jobs stand as issued in an earlier week\. They are not planned again\./);
    expect(screen.getByRole('button', { name: /^Put right/ })).toHaveTextContent('2 standing as issued');
    expect(screen.getByRole('button', { name: new RegExp(`^${one} Stands as issued\\.`) })).toBeInTheDocument();
    within(note).getByRole('button', { name: 'All done as issued: 2 jobs ⇧v' }).click();
    await vi.waitFor(() => expect(programme.said).toBe('2 of them. Undo takes it back.'));
    expect(changes()).toEqual([{ ask: 'record_as_issued', jobs: null }]);
    expect(programme.standing.size).toBe(0);
  });

  it('is brought over, all or one, and whoever pressed a key is led to what is round the button', async () => {
    open([one, other]);
    const { rerender } = render(Notes, { sheet: programme.sheet });
    const bring = screen.getByRole('button', { name: 'Bring all over: 2 jobs ⇧b' });
    bring.focus();
    bring.click();
    await vi.waitFor(() => expect(changes()).toEqual([{ ask: 'bring_over', jobs: null }]));
    await vi.waitFor(() => expect(programme.doing).toBeNull());
    await rerender({ sheet: programme.sheet });
    expect(screen.queryByRole('note', { name: 'Standing as issued' })).toBeNull();
    open([one, other]);
    await rerender({ sheet: programme.sheet });
    selection.pickJob(one);
    await rerender({ sheet: programme.sheet });
    const job = screen.getByRole('region', { name: `Job ${one}` });
    const own = within(job).getByRole('button', { name: `Bring over: ${one} ⇧b` });
    own.focus();
    own.click();
    await vi.waitFor(() => expect(changes()).toEqual([{ ask: 'bring_over', jobs: [one] }]));
    await vi.waitFor(() => expect(within(job).getByRole('button', { name: 'Close esc' })).toHaveFocus());
  });

  it('says so in the job, which has no place to be carried to', () => {
    open([one]);
    render(JobSheet, { job: programme.jobs.get(one)! });
    expect(screen.getByText(REASON)).toHaveTextContent(`Stands as issued. ${REASON}`);
    expect(screen.queryByRole('button', { name: /^Put on the board/ })).toBeNull();
    expect(screen.getByRole('button', { name: `Done as issued: ${one} ⇧v` })).toBeInTheDocument();
  });

  it('can only be looked at where nothing can be written', () => {
    open([one], false);
    render(Notes, { sheet: programme.sheet });
    expect(screen.getByRole('note', { name: 'Standing as issued' })).toHaveTextContent('1 job stands as issued in an earlier week. It is not planned again.');
    expect(screen.queryByRole('button', { name: /as issued:|Bring/ })).toBeNull();
  });
});

describe('the keys for what stands', () => {
  const command = (key: string) => COMMANDS.find((own) => own.key === key)!;

  it('belong to nothing else, and are for those selected or all', async () => {
    for (const [key, ask] of [['V', 'record_as_issued'], ['B', 'bring_over']] as const) {
      expect(COMMANDS.filter((own) => own.key === key)).toHaveLength(1);
      open([one, other, third]);
      expect(can(command(key))).toBe(true);
      selection.pickJobs([one, other]);
      command(key).run();
      await vi.waitFor(() => expect(changes()).toEqual([{ ask, jobs: [one, other] }]));
      await vi.waitFor(() => expect(programme.doing).toBeNull());
      selection.clear();
      command(key).run();
      await vi.waitFor(() => expect(changes()).toEqual([{ ask, jobs: [one, other] }, { ask, jobs: null }]));
      await vi.waitFor(() => expect(programme.doing).toBeNull());
    }
  });

  it('do nothing where nothing stands', () => {
    openBehindDoor(week, async () => ({ is: 'sheet', sheet: week }));
    expect([can(command('V')), can(command('B'))]).toEqual([false, false]);
  });
});
