import { render, screen } from '@testing-library/svelte';
import type { Map as MapLibre, MapMouseEvent } from 'maplibre-gl';
import { flushSync, tick } from 'svelte';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import Pick from '../src/map/Pick.svelte';
import { Presses } from '../src/map/presses';
import JobSheet from '../src/panels/JobSheet.svelte';
import { area } from '../src/state/area.svelte';
import { hand } from '../src/state/hand.svelte';
import { pin } from '../src/state/pin.svelte';
import { programme } from '../src/state/programme.svelte';
import { selection } from '../src/state/selection.svelte';
import type { Request } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const job = week.jobs[0]!;
let asked: Request[] = [];
/** What lies under the pointer: the map or the board. */
let over: HTMLElement;

/** A map of a thousand pixels to the degree, on which the marks of some jobs are all there is. */
function mapOf(ids: readonly string[] = [job.id]): { map: MapLibre; tell: (what: string, x: number, y: number, more?: MouseEventInit) => void } {
  const told = new Map<string, ((event: MapMouseEvent) => void)[]>();
  const canvas = document.createElement('canvas');
  const map = {
    on: (what: string, tell: (event: MapMouseEvent) => void) => told.set(what, [...(told.get(what) ?? []), tell]),
    off: (what: string, tell: (event: MapMouseEvent) => void) => told.set(what, (told.get(what) ?? []).filter((one) => one !== tell)),
    getCanvas: () => canvas,
    getLayer: (name: string) => (name === 'job' ? {} : undefined),
    queryRenderedFeatures: () => ids.map((id) => ({ source: 'jobs', layer: { id: 'job' }, properties: { id } })),
    project: ([lon, lat]: [number, number]) => ({ x: lon * 1000, y: lat * 1000 }),
    unproject: ([x, y]: [number, number]) => ({ lng: x / 1000, lat: y / 1000 }),
  };
  const tell = (what: string, x: number, y: number, more: MouseEventInit = {}): void => {
    const originalEvent = new MouseEvent(what, { clientX: x, clientY: y, ...more });
    const event = { point: { x, y }, lngLat: { lng: x / 1000, lat: y / 1000 }, originalEvent, preventDefault: () => {} };
    for (const one of told.get(what) ?? []) one(event as unknown as MapMouseEvent);
  };
  return { map: map as unknown as MapLibre, tell };
}

const pointer = (what: string, x: number, y: number, on: EventTarget = window): void => {
  on.dispatchEvent(new PointerEvent(what, { clientX: x, clientY: y, button: 0, bubbles: true }));
  flushSync();
};

const part = (name: string): HTMLElement => {
  const element = document.createElement('div');
  element.className = name;
  return element;
};

beforeEach(() => {
  for (const one of [pin, hand, area]) one.letGo();
  selection.tool = null;
  selection.pickJob(job.id);
  document.elementFromPoint = () => over;
  asked = openBehindDoor(week, (request) => {
    if (request.ask === 'what_if') return { is: 'what_if', outcome: { words: 'moved', columns: [], emptied: [], costs: [], added: '', broken: [], sound: true } } as never;
    return { is: 'sheet', sheet: week };
  });
});

afterEach(() => Reflect.deleteProperty(document, 'elementFromPoint'));

/** What was asked for beside what the desk is only made ready by. */
const changes = (): string[] => asked.map((one) => one.ask).filter((one) => one !== 'what_if');

describe('a drag on the map that the system takes away', () => {
  const begun = (): ReturnType<typeof mapOf> => {
    const made = mapOf();
    new Presses(made.map, { stay: () => {}, leave: () => {}, glass: () => undefined });
    return made;
  };

  it('leaves a pin where it stood, and goes on no more', async () => {
    over = part('map');
    const { tell } = begun();
    tell('mousedown', 100, 100);
    pointer('pointermove', 160, 130);
    expect(pin.held?.id).toBe(job.id);
    pointer('pointercancel', 160, 130);
    expect(pin.held).toBeNull();
    pointer('pointermove', 170, 140);
    pointer('pointerup', 170, 140);
    await tick();
    expect([pin.held, changes()]).toEqual([null, []]);
  });

  it('leaves nothing in hand over the board', async () => {
    over = part('board');
    const { tell } = begun();
    tell('mousedown', 100, 100);
    pointer('pointermove', 160, 130);
    expect(hand.held).toMatchObject({ what: 'job', job: job.id });
    pointer('pointercancel', 160, 130);
    expect([hand.held, hand.pointer]).toEqual([null, null]);
    pointer('pointermove', 170, 140);
    pointer('pointerup', 170, 140);
    await tick();
    expect([hand.held, changes()]).toEqual([null, []]);
  });

  it('leaves a pin that is let go where it was put', async () => {
    over = part('map');
    const { tell } = begun();
    tell('mousedown', 100, 100);
    pointer('pointermove', 160, 130);
    pointer('pointerup', 160, 130);
    await tick();
    expect(asked).toMatchObject([{ ask: 'edit', edit: { do: 'move', pins: [{ id: job.id, at: [0.16, 0.13] }] } }]);
    pointer('pointercancel', 160, 130);
    pointer('pointermove', 170, 140);
    expect(pin.held).toBeNull();
  });

  it('leaves the corner of a works area where it stood', () => {
    over = part('map');
    const { tell } = begun();
    const ring = [[0.1, 0.1], [0.3, 0.1], [0.3, 0.3]] as const;
    [area.job, area.ring, area.at] = [job.id, ring, 2];
    tell('mousedown', 100, 100);
    tell('mousemove', 150, 120);
    expect(area.ring[0]).toEqual([0.15, 0.12]);
    pointer('pointercancel', 150, 120);
    expect([area.ring, area.at]).toEqual([ring, 2]);
    tell('mousemove', 170, 140);
    expect(area.ring).toEqual(ring);
  });
});

describe('jobs at exactly one place', () => {
  const [first, second, third] = week.jobs.slice(0, 3).map((one) => one.id) as [string, string, string];
  const heap = { ...week, jobs: week.jobs.map((one) => (one.id === second ? { ...one, at: job.at } : one)) };
  const begun = (): ReturnType<typeof mapOf> => {
    programme.sheet = heap;
    // The mark on top is that of the last; another lies beside them.
    const made = mapOf([second, third, first]);
    new Presses(made.map, { stay: () => {}, leave: () => {}, glass: () => undefined });
    return made;
  };

  it('are picked one after the other, by a click each, the first of the sheet first', () => {
    const { tell } = begun();
    selection.clear();
    const picked = [1, 2, 3].map(() => {
      tell('click', 100, 100);
      return selection.job;
    });
    expect(picked).toEqual([first, second, first]);
  });

  it('are added one after the other with Shift', () => {
    const { tell } = begun();
    selection.clear();
    for (let i = 0; i < 2; i++) tell('click', 100, 100, { shiftKey: true });
    expect([...selection.ids]).toEqual([first, second]);
  });

  it('have the pin of the one that is picked carried, not of that on top', () => {
    over = part('map');
    const { tell } = begun();
    selection.pickJob(first);
    tell('mousedown', 100, 100);
    pointer('pointermove', 160, 130);
    expect(pin.held?.id).toBe(first);
    pointer('pointercancel', 160, 130);
  });

  it('are said to be several, and lead to one another', async () => {
    begun();
    selection.pickJob(second);
    render(JobSheet, { job: heap.jobs.find((one) => one.id === second)! });
    expect(screen.getByText('2 of 2 jobs at this place.')).toBeTruthy();
    screen.getByRole('button', { name: 'The next one' }).click();
    expect(selection.job).toBe(first);
  });
});

describe('a box or a lasso', () => {
  const glassOf = (): Element => {
    const { map } = mapOf();
    return render(Pick, { map, inset: { left: 0, top: 0, right: 0, bottom: 0 }, stay: () => {} }).container.querySelector('.glass')!;
  };
  const draw = (glass: Element): void => {
    pointer('pointerdown', 0, 0, glass);
    for (const at of [20, 40, 60]) pointer('pointermove', at, at, glass);
  };

  for (const tool of ['box', 'lasso'] as const)
    it(`picks nothing and is put away where the system takes the pointer of a ${tool}`, () => {
      selection.take(tool);
      const glass = glassOf();
      draw(glass);
      pointer('pointercancel', 60, 60, glass);
      expect([selection.tool, selection.job]).toEqual([null, job.id]);
    });

  it('ends beside the glass too, and a press beside it ends none that is not begun', () => {
    selection.take('box');
    const glass = glassOf();
    pointer('pointerup', 500, 500);
    expect(selection.tool).toBe('box');
    draw(glass);
    pointer('pointerup', 500, 500);
    expect(selection.tool).toBeNull();
  });
});
