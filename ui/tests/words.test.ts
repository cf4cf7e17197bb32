import { describe, expect, it } from 'vitest';
import { otherWeek } from '../src/words';

describe('the name of a programme beside its week', () => {
  // ISO 8601: week 1 has the year's first Thursday; 2026 has a week 53.
  it('says which week it is now where it is named after another', () => {
    expect(otherWeek('Sallowby, week 9', '2027-03-01')).toBe('');
    expect(otherWeek('Sallowby, week 9', '2027-03-08')).toBe('now week 10');
    expect(otherWeek('WEEK 09 north', '2027-03-07')).toBe('');
    expect(otherWeek('week9', '2027-01-04')).toBe('now week 1');
    expect(otherWeek('Week 1', '2026-12-28')).toBe('now week 53');
    expect(otherWeek('Week 1', '2024-12-30')).toBe('');
    for (const name of ['Sallowby', 'Midweek 9', 'Weeks 9 and 10', 'week 900']) expect(otherWeek(name, '2027-03-08'), name).toBe('');
  });
});
