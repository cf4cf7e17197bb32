import { render } from '@testing-library/svelte';
import type { Map as MapLibre } from 'maplibre-gl';
import { flushSync } from 'svelte';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import Beneath from '../src/map/Beneath.svelte';
import { openSheet } from '../src/map/basemap';
import { basemap, type MapFile } from '../src/state/basemap.svelte';
import { programme } from '../src/state/programme.svelte';
import { archive } from './pmtiles.mjs';

type Load = (request: { url: string; type: string }, stop: AbortController) => Promise<{ data: ArrayBuffer }>;
const loads = vi.hoisted(() => new Map<string, unknown>());
vi.mock('maplibre-gl', () => ({ addProtocol: (name: string, load: unknown) => loads.set(name, load) }));

/** A file of these bytes, which gives none of them before it is let. */
function held(name: string, bytes: Uint8Array): MapFile & { let: () => void } {
  let open = (): void => {};
  const opened = new Promise<void>((wake) => (open = wake));
  return { name, let: () => open(), read: async (from, length) => (await opened, Uint8Array.from(bytes).slice(from, from + length).buffer) };
}

/** What lies under a map, by the file that it was laid from. */
function laidUnder(): { map: MapLibre; attribution: () => string | undefined } {
  const sources = new Map<string, { attribution?: string }>();
  const map = {
    getStyle: () => ({ layers: [] }),
    getSource: (name: string) => sources.get(name),
    addSource: (name: string, source: { attribution?: string }) => sources.set(name, source),
    removeSource: (name: string) => sources.delete(name),
    addLayer: () => {},
  };
  return { map: map as unknown as MapLibre, attribution: () => sources.get('under')?.attribution };
}

const settled = async (): Promise<void> => {
  for (let i = 0; i < 5; i += 1) await new Promise((wake) => setTimeout(wake));
  flushSync();
};

describe('the map that lies under the works', () => {
  beforeEach(() => {
    basemap.clear();
    programme.refusal = null;
  });

  it('is the one chosen last, whichever is read first', async () => {
    const { map, attribution } = laidUnder();
    render(Beneath, { map, styled: true });
    const [slow, quick] = [held('one.pmtiles', archive([0, 0], 'the slow')), held('other.pmtiles', archive([0, 0], 'the quick'))];
    for (const file of [slow, quick]) {
      basemap.take(file);
      flushSync();
    }
    for (const file of [quick, slow]) {
      file.let();
      await settled();
      expect([attribution(), basemap.attribution, basemap.name]).toEqual(['the quick', 'the quick', 'other.pmtiles']);
    }
  });

  it('is none where none is wanted any more, however late one comes', async () => {
    const { map, attribution } = laidUnder();
    render(Beneath, { map, styled: true });
    const slow = held('one.pmtiles', archive([0, 0], 'the slow'));
    basemap.take(slow);
    flushSync();
    basemap.clear();
    flushSync();
    slow.let();
    await settled();
    expect(attribution()).toBeUndefined();
  });

  it('stays where one that was chosen before it turns out to be none', async () => {
    const { map, attribution } = laidUnder();
    render(Beneath, { map, styled: true });
    const [none, good] = [held('none.pmtiles', Buffer.from('no map at all '.repeat(40))), held('good.pmtiles', archive([0, 0], 'the good'))];
    for (const file of [none, good]) {
      basemap.take(file);
      flushSync();
    }
    for (const file of [good, none]) {
      file.let();
      await settled();
      expect([attribution(), basemap.name, programme.refusal]).toEqual(['the good', 'good.pmtiles', null]);
    }
  });
});

describe('two files of one name', () => {
  it('are two maps, and each is drawn from its own tiles', async () => {
    const bytes = [archive([0, 0]), archive([90, 45])];
    const sheets = await Promise.all(bytes.map((one) => {
      const file = held('map.pmtiles', one);
      file.let();
      return openSheet(file);
    }));
    const urls = sheets.map(({ source }) => String('url' in source ? source.url : ''));
    expect(new Set(urls).size).toBe(2);
    const load = loads.get('pmtiles') as Load;
    for (const [i, url] of urls.entries()) {
      const { data } = await load({ url: `${url}/0/0/0`, type: 'arrayBuffer' }, new AbortController());
      const tile = Buffer.from(data);
      expect(tile.length).toBeGreaterThan(0);
      expect(bytes.map((one) => one.includes(tile))).toEqual([i === 0, i === 1]);
    }
  });
});
