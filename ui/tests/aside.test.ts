import { fireEvent, render, screen, waitFor } from '@testing-library/svelte';
import { beforeEach, describe, expect, it } from 'vitest';
import AsideForm from '../src/panels/AsideForm.svelte';
import { programme } from '../src/state/programme.svelte';
import type { AsideRow, Request } from '../src/types/gangday';
import { openBehindDoor, type Answers } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const edited: Answers = () => ({ is: 'edited', sheet: week, jobs: [] });

let asked: Request[] = [];
const mends = (): unknown[] => asked.flatMap((one) => (one.ask === 'edit' && one.edit.do === 'mend' ? [one.edit.members] : []));

/** Something left out, as its sheet shows it. */
function show(members: Record<string, unknown>, too_long: string[] = []): void {
  const row: AsideRow = { aside: { file: 'jobs.geojson', list: 'features', nth: 0, called: 'feature 2' }, members, too_long, written: '' };
  render(AsideForm, { row });
}

async function type(label: string, text: string): Promise<HTMLInputElement> {
  const input = screen.getByLabelText<HTMLInputElement>(label);
  await fireEvent.change(input, { target: { value: text } });
  return input;
}

beforeEach(() => {
  asked = openBehindDoor(week, edited);
  programme.progress = null;
});

describe('what is left out', () => {
  it('has an empty field for an id that is far too long, and any other such member is only taken away', async () => {
    show({ id: 'xxxx …', note: 'nnnn …' }, ['id', 'note']);
    expect(screen.getByLabelText<HTMLInputElement>('id').value).toBe('');
    expect(screen.getAllByRole('button', { name: /^Take/ }).map((one) => one.textContent)).toEqual(['Take note away']);
    await type('id', 'J002');
    await waitFor(() => expect(mends()).toEqual([{ id: 'J002' }]));
  });

  it('is told what was typed as it was typed, for the desk alone knows what is a text', async () => {
    show({ permit: '4', sections: 'three' });
    await type('permit', ' 1.10 ');
    await type('sections', '3');
    await type('id', '12345678901234567890');
    await type('permit', '');
    await fireEvent.input(screen.getByLabelText('is'), { target: { value: '1e5' } });
    await fireEvent.input(screen.getByLabelText('Another member'), { target: { value: 'owner' } });
    await fireEvent.click(screen.getByRole('button', { name: 'Add' }));
    await waitFor(() => expect(mends()).toEqual([{ permit: '1.10' }, { sections: '3' }, { id: '12345678901234567890' }, { permit: null }, { owner: '1e5' }]));
  });
});
