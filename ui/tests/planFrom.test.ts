import { describe, expect, it } from 'vitest';
import { firstOpen, todayOf, turnedTo } from '../src/planFrom';

const week = (past: number) => ['01', '02', '03', '04', '05'].map((day, i) => ({ date: `2027-03-${day}`, name: `Day ${i + 1}`, working: true, past: i < past }));

describe('The day from which is planned', () => {
  it('is the first that is not past, where any is', () => {
    expect(firstOpen(week(0))).toBeNull();
    expect(firstOpen(week(2))?.date).toBe('2027-03-03');
    expect(firstOpen(week(5))).toBeNull();
  });

  it('is offered to be today, once, and never on the first day', () => {
    expect(todayOf(week(0), '2027-03-04')?.date).toBe('2027-03-04');
    expect(todayOf(week(2), '2027-03-04')?.date).toBe('2027-03-04');
    expect(todayOf(week(3), '2027-03-04')).toBeNull();
    expect(todayOf(week(0), '2027-03-01')).toBeNull();
    expect(todayOf(week(0), '2027-04-01')).toBeNull();
  });

  it('goes away when it is turned to again, or to the first day', () => {
    expect(turnedTo(week(0), '2027-03-04')).toBe('2027-03-04');
    expect(turnedTo(week(3), '2027-03-04')).toBeNull();
    expect(turnedTo(week(3), '2027-03-01')).toBeNull();
    expect(turnedTo(week(3), '2027-03-02')).toBe('2027-03-02');
  });
});
