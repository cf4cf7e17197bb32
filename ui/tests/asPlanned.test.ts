import { render, screen } from '@testing-library/svelte';
import { tick } from 'svelte';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { can, COMMANDS } from '../src/commands';
import AsPlanned from '../src/panels/AsPlanned.svelte';
import { leftOf } from '../src/state/left';
import { programme } from '../src/state/programme.svelte';
import { selection } from '../src/state/selection.svelte';
import type { Answer, PlannedWork, Request, Sheet } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const column = week.plan?.columns[0] ?? never();
const job = column.jobs[0] ?? never();
const stages = column.layers.flatMap((layer) => (layer.job === job && layer.stage !== null ? [layer.stage] : []));
const columns = new Map(week.plan?.columns.map((one) => [one.key, one]));
const command = COMMANDS.find((one) => one.key === 'R') ?? never();

let asked: Request[] = [];
let answers: (request: Request) => Promise<Answer>;

function never(): never {
  throw new Error('the made-up week has less in it than this asks for');
}

/** The week with these stages of the job recorded. */
function with_(recorded: readonly string[]): Sheet {
  return { ...week, edition: week.edition + 1, records: recorded.map((stage) => ({ job, stage, date: column.date, at: 600, late: 0 })) };
}

beforeEach(() => {
  answers = async () => ({ is: 'edited', sheet: with_(stages), jobs: [job], told: `${stages.length} stages of ${job} are recorded as done at their planned times.` });
  asked = openBehindDoor(week, (request) => answers(request));
  programme.said = '';
  selection.clear();
});

describe('what is left to record', () => {
  it('is every stage of the jobs, or of the gang-day alone, that is not recorded', () => {
    const none = new Set<string>();
    expect(leftOf({ what: 'jobs', ids: [job] }, columns, none)).toEqual({ planned: stages.length, left: stages.length });
    expect(leftOf({ what: 'jobs', ids: [job] }, columns, new Set([`${job} ${stages[0]}`]))).toEqual({ planned: stages.length, left: stages.length - 1 });
    const ofDay = column.layers.filter((layer) => layer.stage !== null).length;
    expect(leftOf({ what: 'gang_day', key: column.key }, columns, none)).toEqual({ planned: ofDay, left: ofDay });
    expect(ofDay).toBeGreaterThan(stages.length);
    const next = week.plan?.columns.find((one) => one.key !== column.key) ?? never();
    const over = new Map([...columns, [next.key, { ...next, layers: [...next.layers, { ...column.layers.find((layer) => layer.job === job)!, stage: 'reopen' }] }]]);
    expect(leftOf({ what: 'jobs', ids: [job] }, over, none).planned).toBe(stages.length + 1);
    expect(leftOf({ what: 'gang_day', key: column.key }, over, none).planned).toBe(ofDay);
    expect(leftOf({ what: 'gang_day', key: 'nobody@2027-03-01' }, columns, none)).toEqual({ planned: 0, left: 0 });
  });
});

describe('the key that records as planned', () => {
  it('belongs to nothing else, and asks for what is selected', async () => {
    expect(COMMANDS.filter((one) => one.key === 'R')).toHaveLength(1);
    command.run();
    expect(programme.said).toMatch(/^Select a job or the heading of a gang-day first/);
    const of = async (work: PlannedWork): Promise<void> => {
      command.run();
      await vi.waitFor(() => expect(programme.doing).toBeNull());
      expect(asked.at(-1)).toEqual({ ask: 'record_as_planned', of: work });
    };
    selection.pickJob(job);
    await of({ what: 'jobs', ids: [job] });
    expect(programme.said).toBe(`${stages.length} stages of ${job} are recorded as done at their planned times. Undo takes it back.`);
    selection.pickJobs(column.jobs);
    await of({ what: 'jobs', ids: [...column.jobs] });
    selection.pick({ what: 'route', key: column.key });
    await of({ what: 'gang_day', key: column.key });
  });

  it('does nothing while the week is planned or a page may only be read', () => {
    expect(can(command)).toBe(true);
    programme.doing = 'Recording it';
    expect(can(command)).toBe(false);
    programme.doing = null;
    openBehindDoor(week, (request) => answers(request), { writes: false });
    expect(can(command)).toBe(false);
  });

  it('says nothing of its own where it is refused', async () => {
    answers = async () => {
      throw { text: 'Nothing is left to record.', findings: [] };
    };
    selection.pickJob(job);
    command.run();
    await vi.waitFor(() => expect(programme.refusal?.text).toBe('Nothing is left to record.'));
    expect(programme.said).toBe('');
  });
});

describe('the button that records as planned', () => {
  const work: PlannedWork = { what: 'jobs', ids: [job] };
  const button = () => screen.getByRole('button');

  it('keeps the focus while it records, and says so when nothing is left', async () => {
    let go = (): void => undefined;
    const told = answers;
    answers = async (request) => {
      await new Promise<void>((wake) => (go = wake));
      return told(request);
    };
    render(AsPlanned, { work, name: job });
    expect(button()).toHaveAccessibleName(`All done as planned: ${job} ⇧r`);
    expect(button()).toHaveAttribute('aria-disabled', 'false');
    button().focus();
    button().click();
    await tick();
    expect(button()).toHaveAttribute('aria-disabled', 'true');
    button().click();
    go();
    await vi.waitFor(() => expect(button()).toHaveAccessibleName(`All that is planned is recorded: ${job}`));
    expect(button()).toHaveFocus();
    expect(button()).toHaveAttribute('aria-disabled', 'true');
    button().click();
    expect(asked).toHaveLength(1);
  });

  it('is there only where there is something planned, and somewhere to write it', () => {
    const free = week.jobs.find((one) => one.route === null) ?? never();
    const { unmount } = render(AsPlanned, { work: { what: 'jobs', ids: [free.id] }, name: free.id });
    expect(screen.queryByRole('button')).toBeNull();
    unmount();
    openBehindDoor(week, (request) => answers(request), { writes: false });
    render(AsPlanned, { work, name: job });
    expect(screen.queryByRole('button')).toBeNull();
  });
});
