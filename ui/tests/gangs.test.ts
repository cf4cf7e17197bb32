import { describe, expect, it } from 'vitest';
import { FIELDS, hoursOf, memberFor, textOf } from '../src/panels/gangs';

const field = (name: string) => FIELDS.find((one) => one.name === name)!;

describe('what is typed of a gang', () => {
  it('is a list where it holds tickets, without the empty ones', () => {
    expect(memberFor(field('tickets'), ' street works, , confined space ')).toEqual(['street works', 'confined space']);
    expect(memberFor(field('tickets'), '')).toEqual([]);
    expect(textOf(['street works', 'confined space'])).toBe('street works, confined space');
  });
  it('is a number, with its thousands as people write them, or goes', () => {
    expect(memberFor(field('payload_kg'), '7,500')).toBe(7500);
    expect(memberFor(field('volume_m3'), '6.5')).toBe(6.5);
    expect(memberFor(field('payload_kg'), ' ')).toBeNull();
    expect(memberFor(field('people'), 'three')).toBe('three');
  });
  it('is a shift of two hours', () => {
    expect(hoursOf(['07:30', '16:30'])).toEqual(['07:30', '16:30']);
    expect(hoursOf(undefined)).toEqual(['', '']);
  });
});
