import { describe, expect, it } from 'vitest';
import type { ClosureView } from '../src/types/gangday';
import { onDay, standingAt, stretchesOf } from '../src/map/stretches';

const closure = (job: string, date: string, from: number, to: number): ClosureView => ({ job, date, from, to }) as ClosureView;

describe('the days of a closure', () => {
  it('is one day where it is taken away on the day itself', () => {
    expect(stretchesOf(closure('J1', '2027-03-01', 480, 1440))).toEqual([{ date: '2027-03-01', from: 480, to: 1440 }]);
  });

  it('goes on from midnight over nights, and over the end of a month', () => {
    expect(stretchesOf(closure('J1', '2027-02-27', 480, 2 * 1440 + 600))).toEqual([
      { date: '2027-02-27', from: 480, to: 1440 },
      { date: '2027-02-28', from: 0, to: 1440 },
      { date: '2027-03-01', from: 0, to: 600 },
    ]);
  });

  it('counts on each day what stands then, and once in the week', () => {
    const all = [closure('J1', '2027-03-01', 0, 3 * 1440), closure('J2', '2027-03-02', 540, 900)];
    expect(onDay(all, '2027-03-03').map((one) => [one.job, one.from, one.to])).toEqual([['J1', 0, 1440]]);
    expect(standingAt(onDay(all, '2027-03-02'), 600)).toBe(2);
    expect(standingAt(onDay(all, '2027-03-02'), 900)).toBe(1);
    expect(standingAt(onDay(all, '2027-03-04'), null)).toBe(0);
    expect(standingAt(onDay(all, null), null)).toBe(2);
  });
});
