import { render, screen } from '@testing-library/svelte';
import { describe, expect, it } from 'vitest';
import JobSheet from '../src/panels/JobSheet.svelte';
import NotPlanned from '../src/panels/NotPlanned.svelte';
import { programme } from '../src/state/programme.svelte';
import type { UnplannedView } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { detail, sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
/** One that has a place in the plan: of a job that is left unfinished, what was done keeps its own. */
const job = week.plan!.columns[0]!.jobs[0]!;

describe('what has become of a job that is listed as not planned', () => {
  it.each([
    ['U-DONE', 'Done.', 'Its work is done; its last stage was recorded on Fri 26 Feb.'],
    ['U-STANDS', 'Stands as issued.', 'It stands as issued with Ash gang on Fri 26 Feb, in an earlier week.'],
    ['U-REST', 'Left unfinished.', 'It was begun, and what is left of it finds no day of the week any more.'],
    ['U-FULL', 'Not planned.', 'Every gang-day that could do it is full.'],
  ])('is said alike in its sheet and in the list, with the reason: %s', (code, words, reason) => {
    const one: UnplannedView = { job, reasons: [reason], codes: [code] };
    openBehindDoor({ ...week, plan: { ...week.plan!, unplanned: [one] } }, async () => ({ is: 'job', detail: detail(job) }));
    const { unmount } = render(JobSheet, { job: programme.jobs.get(job)! });
    expect(screen.getByText(reason)).toHaveTextContent(`${words} ${reason}`);
    unmount();
    render(NotPlanned, { one });
    expect(screen.getByRole('button')).toHaveTextContent(`${job} ${words} ${reason} ${code}`);
  });
});
