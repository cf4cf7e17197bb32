import { beforeEach, describe, expect, it, vi } from 'vitest';
import { hand, homeOf, type Held } from '../src/state/hand.svelte';
import { places } from '../src/state/places.svelte';
import { programme } from '../src/state/programme.svelte';
import type { ChangeByHand, Layer, Sheet, WhatIfView } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const [first, second, third] = (week.plan?.columns ?? []).map((column) => column.key) as [string, string, string];
const outcome = (words: string): WhatIfView => ({ words, columns: [], emptied: [], costs: [], added: '', broken: [], sound: true }) as never;

/** What the desk says of a change. */
const wordsOf = (change: ChangeByHand): string => JSON.stringify(change);
const swapped = (one: string, other: string): ChangeByHand => ({ do: 'swap', one, other });

/** What the desk was asked about. */
let changes: ChangeByHand[] = [];
/** What the desk was told to make. */
let made: ChangeByHand[] = [];
/** Answers the oldest question that is still open. */
let waiting: (() => void)[] = [];
let patient = false;
/** Whether the desk can't be reached. */
let cut = false;

const held = (what: Held): void => {
  hand.take(what);
  changes = [];
};
const over = (key: string): void => hand.hold({ key, at: null });

beforeEach(() => {
  hand.letGo();
  [changes, waiting, patient, cut] = [[], [], false, false];
  made = [];
  openBehindDoor(week, async (request) => {
    const inner = request.ask === 'since' ? request.of : request;
    if (inner.ask === 'change') {
      made.push(inner.change);
      await new Promise((done) => setTimeout(done, 20));
      return { is: 'sheet', sheet: { ...week, edition: week.edition + 1 } } as never;
    }
    if (request.ask !== 'what_if') throw new Error(`nobody asks for ${request.ask}`);
    changes.push(request.change);
    if (cut) throw new Error('cut off');
    if (patient) await new Promise<void>((wake) => waiting.push(wake));
    const alike = request.change.do === 'move_job' && request.change.at !== null ? { first: request.change.at - 20, last: request.change.at + 20 } : null;
    return { is: 'what_if', outcome: { ...outcome(wordsOf(request.change)), alike } } as never;
  });
});

/** The week with a job of the first gang-day poured there, and the rest of it on another. */
function begun(rest: string): { readonly job: string; readonly week: Sheet } {
  const job = week.plan!.columns[0]!.jobs[0]!;
  const own = (layer: Layer): boolean => layer.job === job && layer.kind === 'work';
  const left = week.plan!.columns[0]!.layers.filter((layer) => own(layer) && layer.stage !== 'base');
  const columns = week.plan!.columns.map((column) => {
    if (column.key === rest) return { ...column, layers: [...column.layers, ...left], jobs: [...column.jobs, job] };
    if (column.key !== first) return column;
    return { ...column, layers: column.layers.filter((layer) => !left.includes(layer)).map((layer): Layer => (own(layer) ? { ...layer, stays: 'done' } : layer)) };
  });
  const jobs = week.jobs.map((one) => (one.id === job ? { ...one, route: first, next_route: rest } : one));
  return { job, week: { ...week, jobs, plan: { ...week.plan!, columns } } };
}

describe('the rest of a job that was begun', () => {
  it('is carried by keys from the day on which it is planned, and not from that on which the job was begun', async () => {
    const own = begun(third);
    programme.sheet = own.week;
    const keys = places.keys;
    const at = keys.indexOf(third);
    expect(at).toBeGreaterThan(keys.indexOf(first) + 1);
    for (const [key, to] of [['ArrowRight', at + 1], ['ArrowLeft', at - 1]] as const) {
      hand.takeJob(own.job, 'surface');
      expect([hand.isRest, hand.held]).toEqual([true, { what: 'job', job: own.job, from: third, stage: 'surface' }]);
      hand.step(key);
      expect(hand.over?.key).toBe(keys[to]);
      await vi.waitFor(() => expect(hand.outcome?.words).toBe(wordsOf({ do: 'move_job', job: own.job, to: keys[to]!, at: null })));
      hand.letGo();
    }
    hand.take({ what: 'jobs', jobs: [own.job], from: null });
    hand.step('ArrowRight');
    expect(hand.over?.key).toBe(keys[at + 1]);
  });

  it('is carried from where it was begun where the rest is there too, as any other job is from its first day', () => {
    const own = begun(first);
    programme.sheet = own.week;
    expect(homeOf(own.job)).toBe(first);
    programme.sheet = { ...week, jobs: week.jobs.map((one) => (one.id === own.job ? { ...one, next_route: third } : one)) };
    expect([hand.isRest, homeOf(own.job)]).toEqual([false, first]);
  });
});

describe('what is in hand', () => {
  it('is asked about in another place after it was held over its own, where nothing is asked', async () => {
    held({ what: 'day', from: first });
    over(first);
    await Promise.resolve();
    expect([changes, hand.outcome]).toEqual([[], null]);
    over(second);
    await vi.waitFor(() => expect(hand.outcome?.words).toBe(wordsOf(swapped(first, second))));
    over(first);
    await vi.waitFor(() => expect(hand.outcome).toBeNull());
    over(third);
    await vi.waitFor(() => expect(hand.outcome?.words).toBe(wordsOf(swapped(first, third))));
  });

  it('is so within one turn too, before the first asking has come to its end', async () => {
    for (const what of [{ what: 'day', from: first }, { what: 'rest', job: week.jobs[0]?.id ?? '', from: first }] as const) {
      held(what);
      over(first);
      over(second);
      await vi.waitFor(() => expect(hand.outcome).not.toBeNull());
      expect(changes[0]?.do).toEqual(what.what === 'day' ? 'swap' : 'split');
      expect(hand.outcome?.words).toBe(wordsOf(changes[0]!));
      hand.letGo();
    }
  });

  it('is asked about one question at a time, and what is shown answers the last place', async () => {
    patient = true;
    held({ what: 'day', from: first });
    for (const key of [second, third, second, third]) over(key);
    expect(changes).toEqual([swapped(first, second)]);
    waiting.shift()?.();
    await vi.waitFor(() => expect(changes.length).toBe(2));
    expect(changes[1]).toEqual(swapped(first, third));
    expect([hand.outcome?.words, hand.looking]).toEqual([wordsOf(swapped(first, second)), true]);
    waiting.shift()?.();
    await vi.waitFor(() => expect(hand.looking).toBe(false));
    expect(hand.outcome?.words).toBe(wordsOf(swapped(first, third)));
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

  it('is asked about ahead, and what is known of a place is seen there at once', async () => {
    held({ what: 'day', from: second });
    await vi.waitFor(() => expect(changes).toEqual([swapped(second, third), swapped(second, first)]));
    await Promise.resolve();
    hand.step('ArrowRight');
    expect([hand.outcome?.words, hand.looking, hand.under]).toEqual([wordsOf(swapped(second, third)), false, third]);
    hand.step('ArrowLeft');
    expect([hand.outcome, hand.under]).toEqual([null, second]);
    hand.step('ArrowLeft');
    expect(hand.outcome?.words).toBe(wordsOf(swapped(second, first)));
    expect(new Set(changes.map(wordsOf)).size).toBe(changes.length);
  });

  it('is asked about anew once the sheet is another, and after a question that did not get through', async () => {
    held({ what: 'day', from: first });
    await vi.waitFor(() => expect(changes).toEqual([swapped(first, second)]));
    programme.sheet = { ...week, edition: week.edition + 1 };
    cut = true;
    over(second);
    await vi.waitFor(() => expect(hand.refused).toBe('cut off'));
    cut = false;
    over(first);
    over(second);
    await vi.waitFor(() => expect(hand.outcome?.words).toBe(wordsOf(swapped(first, second))));
    expect(hand.refused).toBe('');
    expect(changes.filter((change) => wordsOf(change) === wordsOf(swapped(first, second))).length).toBe(3);
  });

  it('is asked about no other time that does the same, and ahead about those just outside', async () => {
    const job = week.jobs.find((one) => one.route === first)!.id;
    const to = (at: number): string => wordsOf({ do: 'move_job', job, to: second, at });
    held({ what: 'job', job, from: first });
    hand.pointer = { x: 100, y: 100 };
    hand.hold({ key: second, at: 600 });
    await vi.waitFor(() => expect(hand.outcome?.words).toBe(to(600)));
    await vi.waitFor(() => expect(changes.map(wordsOf)).toEqual(expect.arrayContaining([to(621), to(579)])));
    await Promise.resolve();
    const asked = changes.length;
    for (const [at, told] of [[620, 600], [640, 621], [570, 579], [580, 600]] as const) {
      hand.hold({ key: second, at });
      expect([hand.outcome?.words, hand.looking]).toEqual([to(told), false]);
    }
    expect(changes.length).toBe(asked);
    expect(asked).toBeLessThan(30);
    hand.hold({ key: third, at: 2000 });
    expect(hand.looking).toBe(true);
    await vi.waitFor(() => expect(hand.outcome?.words).toBe(wordsOf({ do: 'move_job', job, to: third, at: 2000 })));
  });

  it('is put down once, where it was held when that was said', async () => {
    held({ what: 'day', from: first });
    over(second);
    const down = [hand.putDown(), hand.putDown()];
    over(third);
    expect(await Promise.all(down)).toEqual([true, false]);
    expect(made).toEqual([swapped(first, second)]);
    expect(hand.held).toBeNull();
  });

  it('is let go where the plan that it was picked up from is another, or is made anew', () => {
    for (const [edition, planning] of [[week.edition + 1, false], [week.edition, true]] as const) {
      held({ what: 'day', from: first });
      hand.settle(week.edition, false);
      expect(hand.held).not.toBeNull();
      hand.settle(edition, planning);
      expect(hand.held).toBeNull();
    }
  });
});
