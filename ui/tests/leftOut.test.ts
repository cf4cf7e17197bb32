import { render, screen } from '@testing-library/svelte';
import { describe, expect, it } from 'vitest';
import GangSheet from '../src/panels/GangSheet.svelte';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });

describe('what one more gang could not do', () => {
  it('counts neither what is done nor what stands as issued nor what is left unfinished', async () => {
    const codes = ['U-DONE', 'U-STANDS', 'U-REST', 'U-FULL', 'U-TICKET'];
    const unplanned = codes.map((code, i) => ({ job: week.jobs[i]!.id, reasons: ['Why.'], codes: [code] }));
    openBehindDoor({ ...week, plan: { ...week.plan!, unplanned } }, async (request) => {
      if (request.ask === 'what_if') throw { text: 'That would change nothing.', findings: [] };
      return { is: 'sheet', sheet: week };
    });
    render(GangSheet);
    expect(await screen.findByText(/a gang like this could do none/)).toHaveTextContent(/^2 jobs left out, and/);
  });
});
