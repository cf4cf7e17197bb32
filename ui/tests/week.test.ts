import { beforeEach, describe, expect, it } from 'vitest';
import { airOn, dayName, degreesOf, holidaysOf, otherDays, others, turned, withAir } from '../src/panels/week';
import { dateOf } from '../src/dates';
import { desk } from '../src/state/desk.svelte';
import { keep, kept, recall } from '../src/state/kept';
import { useDoor } from '../src/host';
import type { Request } from '../src/types/gangday';

describe('what a week states', () => {
  it('has its dates in words and takes them as people write them', () => {
    expect(dayName('2027-03-01')).toBe('Mon 1 Mar 2027');
    expect(dayName('soon')).toBe('soon');
    for (const typed of ['Mon 1 Mar 2027', '1 March 2027', '1st mar 2027', 'Monday, 1 Mar. 2027', '01/03/2027', '1.3.2027']) expect(dateOf(typed), typed).toBe('2027-03-01');
    for (const typed of ['30 Feb 2027', '1 Ma 2027', 'March 2027', '2027', '', 'Mon 1 Mar']) expect(dateOf(typed), typed).toBeNull();
  });

  it('has the air of a day as one figure or by the hour, whichever way it is typed', () => {
    expect([' 7 ', '-1.5', '−1,5 °C', '3C', '7 8', 'warm', ''].map(degreesOf)).toEqual([7, -1.5, -1.5, 3, null, null, null]);
    const stated = { '2027-03-04': { '13:00': 10, '06:00': 3 }, '2027-03-03': 7 };
    expect(airOn(stated, '2027-03-03')).toEqual({ is: 'one', degrees: 7 });
    expect(airOn(stated, '2027-03-04')).toEqual({ is: 'hours', hours: [['06:00', 3], ['13:00', 10]] });
    expect([airOn(stated, '2027-03-05'), airOn('cold', '2027-03-05')]).toEqual([{ is: 'none' }, { is: 'none' }]);
    expect(turned(airOn(stated, '2027-03-04'), 10)).toEqual({ is: 'one', degrees: 3 });
    expect(turned({ is: 'none' }, 10)).toEqual({ is: 'hours', hours: [['06:00', 10], ['13:00', 10]] });
    expect(JSON.stringify(withAir(stated, '2027-03-02', { is: 'one', degrees: 4 }))).toBe('{"2027-03-02":4,"2027-03-03":7,"2027-03-04":{"13:00":10,"06:00":3}}');
    expect(withAir({ '2027-03-03': 7 }, '2027-03-03', { is: 'none' })).toBeNull();
    expect(otherDays(stated, ['2027-03-03'])).toEqual(['2027-03-04']);
  });

  it('keeps apart what the form has no place for', () => {
    expect(others({ name: 'Week 9', rates: [], invented: true, holidays: [], notice_edition: 'x' })).toEqual(['invented', 'notice_edition']);
    expect(holidaysOf(['2027-03-05', 3, '2027-03-02'])).toEqual(['2027-03-02', '2027-03-05']);
  });
});

describe('what is kept with the program', () => {
  let asked: Request[] = [];
  let settings: Record<string, unknown> | null = {};
  beforeEach(() => {
    asked = [];
    useDoor({
      kind: 'loopback',
      writes: true,
      ask: async (request) => {
        asked.push(request);
        if (settings === null) throw { text: 'No.', findings: [] };
        return { is: 'settings', values: settings };
      },
      saveClientPage: async () => null,
    });
  });

  it('is taken over as far as it makes sense', async () => {
    settings = { desk: { theme: 'purple', folded: 'all', boardShare: 7, text: 2 }, recent: 3 };
    await recall();
    desk.recall();
    expect([desk.zoom, desk.boardShare, desk.folded('street'), desk.theme]).toEqual([1.3, 0.85, true, 'light']);
    expect(kept('nothing')).toBeUndefined();
  });

  it('is told to the host one after the other, the latest value of each', async () => {
    settings = {};
    await recall();
    for (const value of [1, 2, 3]) keep('desk', value);
    keep('recent', ['/a']);
    await new Promise((done) => setTimeout(done));
    expect(asked.slice(1)).toEqual([{ ask: 'keep_setting', name: 'desk', value: 1 }, { ask: 'keep_setting', name: 'desk', value: 3 }, { ask: 'keep_setting', name: 'recent', value: ['/a'] }]);
    expect(kept('desk')).toBe(3);
  });

  it('stays in the browser where there is no host to keep it', async () => {
    settings = null;
    await recall();
    keep('clients', ['Sallow']);
    expect(kept('clients')).toEqual(['Sallow']);
    expect(asked.length).toBe(1);
  });
});
