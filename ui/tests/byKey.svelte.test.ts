import { flushSync } from 'svelte';
import { describe, expect, it } from 'vitest';
import { ByKey } from '../src/state/byKey.svelte';

describe('values by their keys', () => {
  it('tell who reads one of its own changes, and of no other', () => {
    const values = new ByKey<number>();
    const seen: [string, number | undefined][] = [];
    const stop = $effect.root(() => {
      for (const key of ['a', 'b']) {
        const twice = $derived((values.of(key) ?? 0) * 2);
        $effect(() => void seen.push([key, twice]));
      }
    });
    flushSync();
    expect(seen.splice(0)).toEqual([['a', 0], ['b', 0]]);
    values.become(new Map([['a', 1]]));
    flushSync();
    expect(seen.splice(0)).toEqual([['a', 2]]);
    values.become(new Map([['b', 3]]));
    flushSync();
    expect(seen.splice(0)).toEqual([['a', 0], ['b', 6]]);
    values.become(new Map([['b', 3]]));
    flushSync();
    expect(seen).toEqual([]);
    expect([values.of('b'), values.of('c')]).toEqual([3, undefined]);
    stop();
  });
});
