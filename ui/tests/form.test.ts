import { render, screen, within } from '@testing-library/svelte';
import userEvent from '@testing-library/user-event';
import { beforeEach, describe, expect, it } from 'vitest';
import DoneField from '../src/panels/DoneField.svelte';
import JobForm from '../src/panels/JobForm.svelte';
import { Refused } from '../src/host/door';
import { desk } from '../src/state/desk.svelte';
import { form } from '../src/state/form.svelte';
import type { Answer, FieldView, Request } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const fields: FieldView[] = [
  { name: 'latest', label: 'Latest', kind: 'date', choices: [] },
  { name: 'priority', label: 'Priority', kind: 'count', choices: [] },
  { name: 'permit', label: 'Permit', kind: 'text', choices: [] },
];
let asked: Request[] = [];
let edition = 100;
let properties: Record<string, unknown> = {};

const edits = (): Request[] => asked.filter((one) => one.ask === 'edit');
/** What stands below a field. */
const saidOf = (field: HTMLElement): string => document.getElementById(field.getAttribute('aria-describedby') ?? '')?.textContent?.trim() ?? '';

beforeEach(() => {
  desk.mending = null;
  properties = { latest: '2027-03-05', priority: 3 };
  edition += 100;
  asked = openBehindDoor({ ...week, edition }, (request): Answer => {
    if (request.ask === 'fields') return { is: 'fields', fields };
    if (request.ask === 'stated') return { is: 'stated', jobs: request.jobs.map((id) => ({ id, at: [0, 0], properties: { ...properties } })) };
    if (request.ask !== 'edit' || request.edit.do !== 'set') return { is: 'sheet', sheet: { ...week, edition } };
    const priority = request.edit.properties['priority'];
    if (typeof priority === 'number' && priority > 5) throw new Refused({ text: 'Priority goes from 1 to 5.', findings: [] });
    properties = { ...properties, ...request.edit.properties };
    edition += 1;
    return { is: 'edited', sheet: { ...week, edition }, jobs: [week.jobs[0]!.id] };
  });
});

describe('a field of a job that says what it can’t', () => {
  it('keeps what was typed, is marked, and says why right below, until it is put right', async () => {
    const user = userEvent.setup();
    render(JobForm, { ids: [week.jobs[0]!.id] });
    const field = await screen.findByLabelText('Latest');
    await user.clear(field);
    await user.type(field, '31 Foo');
    await user.tab();
    expect([(field as HTMLInputElement).value, field.getAttribute('aria-invalid'), edits()]).toEqual(['31 Foo', 'true', []]);
    expect(saidOf(field)).toMatch(/^Write the date as /);
    expect(field.closest('.value')!.nextElementSibling!.id, 'right below the field').toBe(field.getAttribute('aria-describedby'));
    // What another field says leaves it as it is.
    await user.type(screen.getByLabelText('Permit'), 'P-1');
    await user.tab();
    expect([(field as HTMLInputElement).value, edits().length, saidOf(field) !== '']).toEqual(['31 Foo', 1, true]);
    await user.clear(field);
    await user.type(field, '12/03/2027');
    await user.tab();
    await expect.poll(() => [field.getAttribute('aria-invalid'), field.getAttribute('aria-describedby'), (field as HTMLInputElement).value]).toEqual([null, null, '12/03/2027']);
    expect(properties['latest']).toBe('2027-03-12');
  });

  it('does so too where the desk refuses it, and is right again with what it said before', async () => {
    const user = userEvent.setup();
    render(JobForm, { ids: [week.jobs[0]!.id] });
    const field = (await screen.findByLabelText('Priority')) as HTMLInputElement;
    await user.clear(field);
    await user.type(field, '9');
    await user.tab();
    await expect.poll(() => saidOf(field)).toBe('Priority goes from 1 to 5.');
    expect([field.value, field.getAttribute('aria-invalid'), within(document.body).getAllByRole('alert').length]).toEqual(['9', 'true', 1]);
    await user.clear(field);
    await user.type(field, '3');
    await user.tab();
    expect([field.value, field.getAttribute('aria-invalid'), edits().length]).toEqual(['3', null, 1]);
  });

  it('lets go of it with the job that it was typed for', async () => {
    const user = userEvent.setup();
    const { rerender } = render(JobForm, { ids: [week.jobs[0]!.id] });
    await user.type(await screen.findByLabelText('Priority'), 'x');
    await user.tab();
    expect(saidOf(screen.getByLabelText('Priority'))).toMatch(/^Write a whole number/);
    await rerender({ ids: [week.jobs[1]!.id] });
    await expect.poll(() => (screen.getByLabelText('Priority') as HTMLInputElement).value).toBe('3');
    expect(screen.getByLabelText('Priority').getAttribute('aria-invalid')).toBeNull();
  });
});

describe('what people call a job', () => {
  it('is a field of its form, and no column of a list twice', async () => {
    const user = userEvent.setup();
    render(JobForm, { ids: [week.jobs[0]!.id] });
    await user.type(await screen.findByLabelText('What people call it'), 'By the lych gate');
    await user.tab();
    expect(edits()).toEqual([{ ask: 'edit', edit: { do: 'set', jobs: [week.jobs[0]!.id], properties: { title: 'By the lych gate' } } }]);
    expect(form.meant.map((field) => field.name)).toEqual(['latest', 'priority', 'permit']);
  });
});

describe('when a stage was done', () => {
  it('is asked for in words where what was typed is no time, and not before it was typed', async () => {
    const user = userEvent.setup();
    render(DoneField, { job: week.jobs[0]!.id, stage: 'dig', words: 'Dig', date: '2027-03-01', until: 600 });
    await user.click(screen.getByRole('button'));
    const field = screen.getByRole('textbox');
    await user.clear(field);
    await user.type(field, '25');
    expect(field.getAttribute('aria-invalid')).toBe('false');
    await user.type(field, ':99{Enter}');
    expect([field.getAttribute('aria-invalid'), saidOf(field), asked]).toEqual(['true', 'Write the time as 08:30, at most 23:59.', []]);
    await user.clear(field);
    await user.type(field, '16:40');
    expect([field.getAttribute('aria-invalid'), screen.queryByRole('alert')]).toEqual(['false', null]);
    await user.type(field, '{Enter}');
    expect(asked[0]).toMatchObject({ ask: 'record', at: '2027-03-01T16:40' });
  });
});
