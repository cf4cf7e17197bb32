import { beforeEach, describe, expect, it, vi } from 'vitest';
import { hand, type Held } from '../src/state/hand.svelte';
import type { ChangeByHand, WhatIfView } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const [first, second, third] = (week.plan?.columns ?? []).map((column) => column.key) as [string, string, string];
const outcome = (words: string): WhatIfView => ({ words, columns: [], emptied: [], costs: [], added: '', broken: [], sound: true }) as never;

let changes: ChangeByHand[] = [];
/** Answers the oldest question that is still open. */
let waiting: (() => void)[] = [];
let patient = false;

const held = (what: Held): void => {
  hand.take(what);
  changes = [];
};
const over = (key: string): void => hand.hold({ key, at: null });

beforeEach(() => {
  hand.letGo();
  [changes, waiting, patient] = [[], [], false];
  openBehindDoor(week, async (request) => {
    if (request.ask !== 'what_if') throw new Error(`nobody asks for ${request.ask}`);
    changes.push(request.change);
    if (patient) await new Promise<void>((wake) => waiting.push(wake));
    return { is: 'what_if', outcome: outcome(`question ${changes.length}`) } as never;
  });
});

describe('what is in hand', () => {
  it('is asked about in another place after it was held over its own, where nothing is asked', async () => {
    held({ what: 'day', from: first });
    over(first);
    await Promise.resolve();
    expect([changes, hand.outcome]).toEqual([[], null]);
    over(second);
    await vi.waitFor(() => expect(hand.outcome).not.toBeNull());
    expect(changes).toEqual([{ do: 'swap', one: first, other: second }]);
    over(first);
    await vi.waitFor(() => expect(hand.outcome).toBeNull());
    over(third);
    await vi.waitFor(() => expect(hand.outcome).not.toBeNull());
    expect(changes.at(-1)).toEqual({ do: 'swap', one: first, other: third });
  });

  it('is so within one turn too, before the first asking has come to its end', async () => {
    for (const what of [{ what: 'day', from: first }, { what: 'rest', job: week.jobs[0]?.id ?? '', from: first }] as const) {
      held(what);
      over(first);
      over(second);
      await vi.waitFor(() => expect(hand.outcome).not.toBeNull());
      expect(changes.map((change) => change.do)).toEqual([what.what === 'day' ? 'swap' : 'split']);
      hand.letGo();
    }
  });

  it('is asked about one question at a time, and what is shown answers the last place', async () => {
    patient = true;
    held({ what: 'day', from: first });
    for (const key of [second, third, second, third]) over(key);
    expect(changes.length).toBe(1);
    waiting.shift()?.();
    await vi.waitFor(() => expect(changes.length).toBe(2));
    expect(changes[1]).toEqual({ do: 'swap', one: first, other: third });
    expect([hand.outcome?.words, hand.looking]).toEqual(['question 1', true]);
    waiting.shift()?.();
    await vi.waitFor(() => expect(hand.looking).toBe(false));
    expect(hand.outcome?.words).toBe('question 2');
    expect(changes.length).toBe(2);
  });
  it('is told nothing of what was in hand before it, and is asked about itself', async () => {
    patient = true;
    held({ what: 'day', from: first });
    over(second);
    hand.letGo();
    held({ what: 'day', from: third });
    over(second);
    waiting.shift()?.();
    await vi.waitFor(() => expect(changes).toEqual([{ do: 'swap', one: third, other: second }]));
    expect(hand.outcome).toBeNull();
    waiting.shift()?.();
    await vi.waitFor(() => expect(hand.outcome).not.toBeNull());
  });
});
