import { fireEvent, render, screen, waitFor } from '@testing-library/svelte';
import { beforeEach, describe, expect, it } from 'vitest';
import AsideForm from '../src/panels/AsideForm.svelte';
import GangsSheet from '../src/panels/GangsSheet.svelte';
import RowSheet from '../src/panels/RowSheet.svelte';
import { figures } from '../src/state/figures.svelte';
import { setAside } from '../src/state/aside.svelte';
import { desk } from '../src/state/desk.svelte';
import { programme } from '../src/state/programme.svelte';
import { selection } from '../src/state/selection.svelte';
import type { Aside, AsideRow, Request } from '../src/types/gangday';
import { openBehindDoor, type Answers } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const edited: Answers = () => ({ is: 'edited', sheet: week, jobs: [] });
const refused: Answers = () => Promise.reject({ text: 'Nothing was changed, since it would put more at fault.', findings: [] });

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

describe('what was typed and refused', () => {
  it('stays in its field of what is left out until it is put right or as it was', async () => {
    asked = openBehindDoor(week, refused);
    show({ sections: 'three' });
    const input = await type('sections', '-3');
    await waitFor(() => expect(input.getAttribute('aria-invalid')).toBe('true'));
    expect(input.value).toBe('-3');
    await type('sections', 'three');
    await waitFor(() => expect(input.getAttribute('aria-invalid')).toBe('false'));
    expect([input.value, mends(), setAside.refusal]).toEqual(['three', [{ sections: '-3' }], null]);
  });

  it('stays in its field of a row of a file', async () => {
    openBehindDoor(week, (request) => (request.ask === 'row' ? { is: 'row', members: { people: 2 } } : refused(request)));
    await figures.open({ file: 'gangs.json', row: 'G1' });
    render(RowSheet);
    const input = await type('people', 'none');
    await waitFor(() => expect(input.getAttribute('aria-invalid')).toBe('true'));
    expect([input.value, figures.refusal !== null]).toEqual(['none', true]);
    await type('people', '2');
    await waitFor(() => expect(input.getAttribute('aria-invalid')).toBe('false'));
    expect([input.value, figures.refusal]).toEqual(['2', null]);
  });

  it('stays in its field of a gang, and one end of a shift may be right with the other', async () => {
    const [gang] = week.gangs;
    const row: Answers = (request) => (request.ask === 'row' ? { is: 'row', members: { people: 2, shift: ['07:30', '16:30'] } } : refused(request));
    asked = openBehindDoor(week, row);
    render(GangsSheet);
    const begins = await screen.findByLabelText<HTMLInputElement>(`${gang!.id}: shift begins`);
    await waitFor(() => expect(begins.value).toBe('07:30'));
    await type(`${gang!.id}: shift begins`, '19:00');
    await waitFor(() => expect(begins.getAttribute('aria-invalid')).toBe('true'));
    expect(begins.value).toBe('19:00');
    openBehindDoor(week, (request) => {
      asked.push(request);
      return request.ask === 'row' ? { is: 'row', members: { shift: ['19:00', '23:00'] } } : edited(request);
    });
    await type(`${gang!.id}: shift ends`, '23:00');
    await waitFor(() => expect(begins.getAttribute('aria-invalid')).toBe('false'));
    expect(asked.flatMap((one) => (one.ask === 'edit' && one.edit.do === 'row' ? [one.edit.members] : []))).toEqual([{ shift: ['19:00', '16:30'] }, { shift: ['19:00', '23:00'] }]);
  });
});

describe('of what is left out', () => {
  const [first, second] = week.jobs.map((job) => job.id) as [string, string];
  const twin = (nth: number): Aside => ({ file: 'jobs.geojson', list: 'features', nth, called: first });
  const row = (nth: number): AsideRow => ({ aside: twin(nth), members: { id: first }, too_long: [], written: '' });

  /** Two of one id lie open, and the desk says that these jobs count now. */
  function counting(jobs: string[]): void {
    asked = openBehindDoor(week, (request) => (request.ask === 'aside' ? { is: 'aside', rows: [row(0), row(1)] } : { is: 'edited', sheet: week, jobs }));
    setAside.open({ file: 'jobs.geojson', place: first });
    setAside.rows = [row(0), row(1)];
    selection.clear();
  }

  it('the one that was put right is selected and named, and not another that counts for it', async () => {
    counting([first, second]);
    await setAside.mend(twin(0), { id: second });
    expect([selection.job, desk.over]).toEqual([second, null]);
    expect(programme.said).toBe(`${second} is put right and counts; ${first} counts now too. Undo takes it back.`);
  });

  it('the one that still is stays open where its twin alone counts for it', async () => {
    counting([first]);
    await setAside.mend(twin(0), { id: 'new' });
    expect([selection.job, desk.over, setAside.at?.place]).toEqual([null, 'aside', 'new']);
    expect(programme.said).toBe(`${first} changed in jobs.geojson; ${first} counts now. Undo takes it back.`);
  });

  it('the one whose id stays is told by it', async () => {
    counting([first]);
    await setAside.mend(twin(1), { sections: '3' });
    expect([selection.job, programme.said]).toEqual([first, `${first} is put right and counts. Undo takes it back.`]);
  });
});
