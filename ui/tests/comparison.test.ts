import { render, screen } from '@testing-library/svelte';
import { beforeEach, describe, expect, it } from 'vitest';
import Comparison from '../src/panels/Comparison.svelte';
import { programme } from '../src/state/programme.svelte';
import type { Column, ComparisonView } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const columns = week.plan?.columns ?? [];

/** The same gang-days so many days later. */
function later(days: number): Column[] {
  const moved = (date: string) => new Date(Date.parse(`${date}T00:00:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
  return columns.map((column) => ({ ...column, date: moved(column.date), key: `${column.gang}@${moved(column.date)}` }));
}

function compared(one: readonly Column[], other: readonly Column[]): string {
  const side = (name: string, of: readonly Column[]) => ({ name, columns: [...of], summary: '', unplanned: [], costs: [] });
  const comparison: ComparisonView = { one: side('Issue 1, Thu 25 Feb', one), other: side('On the desk', other), differences: [], changes: [] };
  const { container } = render(Comparison, { comparison, show: () => undefined });
  return container.textContent;
}

beforeEach(() => {
  openBehindDoor(week, () => Promise.reject(new Error('nobody asks')));
  programme.sheet = week;
});

describe('two plans side by side', () => {
  it('says in one line that they are of different weeks, and draws no gang-day of either', () => {
    const said = compared(columns, later(7));
    expect(said).toContain('No day is in both plans: Issue 1, Thu 25 Feb is for 1–5 Mar 2027, the plan on the desk for 8–12 Mar 2027.');
    expect(screen.queryByRole('region', { name: /drawn side by side/ })).toBeNull();
    expect(said).not.toMatch(/\d{4}-\d\d-\d\d/);
  });

  it('draws what differs of weeks that meet, its days in words', () => {
    const said = compared(columns, later(3));
    expect(said).not.toContain('No day is in both plans');
    expect(screen.getByRole('region', { name: /drawn side by side/ }).querySelectorAll('figure').length).toBeGreaterThan(4);
    expect(said).toContain('Mon 8 Mar 2027');
    expect(said).not.toMatch(/\d{4}-\d\d-\d\d/);
  });

  it('draws nothing of a plan and itself', () => {
    compared(columns, columns);
    expect(screen.queryByRole('region', { name: /drawn side by side/ })).toBeNull();
  });
});
