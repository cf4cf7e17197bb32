import { describe, expect, it } from 'vitest';
import { unsaved } from '../src/state/leaving.svelte';
import { programme } from '../src/state/programme.svelte';
import type { Sheet } from '../src/types/gangday';
import { sheet } from './fixture.mjs';

const demo: Sheet = { ...sheet({ gangs: 2 }), folder: null, unsaved: true, undo: null, issues: [] };

function isLost(of: Partial<Sheet>): boolean {
  programme.sheet = { ...demo, ...of };
  return unsaved();
}

describe('what another programme would let go', () => {
  it('is nothing of a demo week that nobody has touched, nor of what is saved', () => {
    expect(isLost({})).toBe(false);
    expect(isLost({ folder: 'week.gpkg', unsaved: false, undo: 'move J001' })).toBe(false);
  });

  it('is any change, and an issue, which no step of the history is', () => {
    expect(isLost({ undo: 'move J001' })).toBe(true);
    expect(isLost({ folder: 'week', unsaved: true })).toBe(true);
    expect(isLost({ issues: [{ number: 1, on: '2027-02-25', summary: '', current: true }] })).toBe(true);
  });
});
