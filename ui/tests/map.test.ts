import type { LayerSpecification } from 'maplibre-gl';
import { describe, expect, it, vi } from 'vitest';
import { LARGEST_SENT } from '../src/host';
import { base64Of, extractWords, tooLarge } from '../src/importing';
import { areaOf, beyond, elsewhere, leaving } from '../src/map/camera';
import { find } from '../src/map/find';
import { placeOf } from '../src/words';
import { MAP_INK } from '../src/map/ink';
import { metrePixels, placesOf, ticksOf } from '../src/map/features';
import { drawingOf } from '../src/map/images';
import { begun, carried, grown, moved, STEP } from '../src/map/outline';
import { redraw } from '../src/map/redraw';
import { outlinesOf } from '../src/map/strip';
import { layersOf, styleOf, type View } from '../src/map/style';
import type { Column, UnplannedView } from '../src/types/gangday';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 5 });
const view: View = { theme: 'light', day: null, route: null, job: null, street: null, at: null, gangs: 5, many: false, carried: false, metre: metrePixels(week), rem: 1 };

describe('features', () => {
  const places = placesOf(week);

  it('has every job once, with its gang and turn', () => {
    expect(places.jobs.features).toHaveLength(week.jobs.length);
    const column = week.plan!.columns[0]!;
    const second = places.jobs.features.find((one) => one.properties!['id'] === column.jobs[1]);
    expect(second!.properties).toMatchObject({ turn: '2', route: column.key, gang: 0 });
  });

  it('marks jobs in no route as nobody’s', () => {
    const free = week.plan!.unplanned[0]!.job;
    expect(places.jobs.features.find((one) => one.properties!['id'] === free)!.properties).toMatchObject({ gang: -1, route: '' });
  });

  it('draws shared depots once, with every letter', () => {
    const depots = places.yards.features.filter((one) => one.properties!['what'] === 'depot');
    expect(depots.map((one) => one.properties!['marks'])).toEqual(['ACE', 'BD']);
  });

  it('draws no layer of what there is none of, and every other', () => {
    const none = { ...week, tips: [], gangs: [], plan: null };
    const hidden = (of: typeof week) => new Set(styleOf(placesOf(of), view).layers.flatMap((layer) => (layer.layout?.visibility === 'none' && 'source' in layer ? [layer.source] : [])));
    expect(hidden(none)).toEqual(new Set(['closures', 'diversions', 'clashes', 'routes', 'held', 'yards', 'sketch']));
    expect(hidden(week)).toEqual(new Set(['diversions', 'held', 'sketch']));
  });

  it('does without a backdrop that can’t be read', () => {
    expect(placesOf({ ...week, backdrop: 'not json' }).ground.features.every((one) => 'type' in (one.properties ?? {}))).toBe(true);
  });

  it('knows how large a metre is', () => {
    // 2 * pi * 6,378,137 m round the equator (WGS 84), 512 px at zoom 0.
    const equator = metrePixels({ ...week, area: [0, 0, 0, 0] });
    expect(equator / 2 ** 20).toBeCloseTo(512 / (2 * Math.PI * 6_378_137), 9);
  });
});

describe('style', () => {
  it('names no glyphs, sprite or address', () => {
    const text = JSON.stringify({ ...styleOf(placesOf(week), view), sources: {} });
    expect(text).not.toMatch(/https?:|glyphs|sprite/);
  });

  it('places every mark before any label, from the top down, so that no label covers a mark', () => {
    const symbols = layersOf(view).filter((layer) => layer.type === 'symbol');
    const lettered = symbols.filter((layer) => layer.layout?.['text-field'] !== undefined && layer.layout?.['icon-image'] === undefined);
    const after = symbols.slice(symbols.indexOf(lettered.at(-1)!) + 1);
    expect(after.map((layer) => layer.id)).toEqual(['yard', 'stack', 'job']);
    for (const mark of after) expect(mark.layout).toMatchObject({ 'icon-allow-overlap': true });
    for (const mark of after) expect(mark.layout?.['icon-ignore-placement']).toBeUndefined();
    for (const label of lettered) expect(label.layout?.['text-allow-overlap']).toBeUndefined();
  });

  it('draws the names of streets over every line, and places them after every other word', () => {
    const layers = layersOf(view);
    const at = (id: string): number => layers.findIndex((layer) => layer.id === id);
    const lines = layers.filter((layer) => layer.type === 'line' && !/^(dig|chamber)/.test(layer.id));
    expect(lines.map((layer) => layer.id)).toEqual(expect.arrayContaining(['street', 'closure-edge', 'diversion', 'route-0', 'clash', 'area-edge']));
    for (const line of lines) expect(layers.indexOf(line), line.id).toBeLessThan(at('street-name'));
    // What lies above is placed first: a name gives way to it.
    for (const word of ['yard-name', 'closure-hours', 'job-id', 'job']) expect(at(word), word).toBeGreaterThan(at('street-name'));
    for (const theme of ['light', 'dark'] as const) expect(layersOf({ ...view, theme })[at('street-name')]!.paint).toMatchObject({ 'text-halo-color': MAP_INK[theme].paper, 'text-halo-width': 2 });
  });

  it('keeps the words about a job clear of its own mark, which is placed first', () => {
    const half = drawingOf('tick-0-light-new-carriageway', () => 'A')!.h / 2;
    const layers = layersOf(view);
    const hours = layers.find((layer) => layer.id === 'closure-hours')!.layout as { 'text-offset': [number, number] };
    const [, , held, plain] = (layers.find((layer) => layer.id === 'job-id')!.layout as { 'text-offset': [string, unknown, [string, [number, number]], [string, [number, number]]] })['text-offset'];
    // Words of 12 px with a margin of 1 px round them.
    for (const [, em] of [hours['text-offset'], held[1], plain[1]]) expect(Math.abs(em) * 12 - 1).toBeGreaterThan(half);
  });

  it('has a layer of its own for each gang’s pattern', () => {
    const ids = layersOf(view).map((layer) => layer.id);
    expect(ids.filter((id) => id.startsWith('route-'))).toHaveLength(5);
    expect(new Set(ids).size).toBe(ids.length);
  });
});

describe('images', () => {
  const letters = (gang: number): string => week.gangs[gang]?.mark ?? `of ${gang}`;

  /** What a drawing writes. */
  function written(name: string): string[] {
    const words: string[] = [];
    const pen = new Proxy({}, { get: (_, key) => (key === 'fillText' ? (text: string) => words.push(text) : () => undefined), set: () => true });
    const drawing = drawingOf(name, letters)!;
    drawing.draw(pen as CanvasRenderingContext2D, drawing.w, drawing.h);
    return words;
  }

  /** How many lines it draws. */
  function strokesOf(name: string): number {
    let lines = 0;
    const pen = new Proxy({}, { get: (_, key) => (key === 'stroke' ? () => (lines += 1) : () => undefined), set: () => true });
    const drawing = drawingOf(name, letters)!;
    drawing.draw(pen as CanvasRenderingContext2D, drawing.w, drawing.h);
    return lines;
  }

  /** The lines that it draws, whether any is broken, and in which inks. */
  function drawn(name: string): { readonly lines: number[][]; readonly dashed: boolean; readonly inks: string[] } {
    const lines: number[][] = [];
    const inks: string[] = [];
    let dashed = false;
    const calls: Record<string, (...given: never[]) => void> = {
      lineTo: (...at: number[]) => void lines.push(at),
      setLineDash: (dash: number[]) => void (dashed ||= dash.length > 0),
    };
    const kept: Record<string, unknown> = {};
    const set = (_: object, key: string | symbol, value: unknown): boolean => {
      if (key === 'fillStyle' || key === 'strokeStyle') inks.push(String(value));
      kept[String(key)] = value;
      return true;
    };
    const pen = new Proxy({}, { get: (_, key) => calls[String(key)] ?? kept[String(key)] ?? (() => undefined), set });
    const drawing = drawingOf(name, letters)!;
    drawing.draw(pen as CanvasRenderingContext2D, drawing.w, drawing.h);
    return { lines, dashed, inks };
  }

  it('draws every image that the style names, and knows no other', () => {
    for (const theme of ['light', 'dark'] as const) {
      const named = JSON.stringify(layersOf({ ...view, theme })).match(/"[a-z]+(-[a-z]+)*-(light|dark)"/g)!.map((one) => one.slice(1, -1));
      expect(named.length).toBeGreaterThan(6);
      for (const name of named) expect(drawingOf(name, letters), name).not.toBeNull();
    }
    expect(drawingOf('marker', letters)).toBeNull();
  });

  it('ticks what is done, in the week and before it, beside the gang’s letters', () => {
    const [column] = week.plan!.columns;
    const job = column!.jobs[0]!;
    const free = week.plan!.unplanned[0]!;
    const ticked = (columns: Column[], codes: string[]) => {
      const plan = { ...week.plan!, columns, unplanned: [{ ...free, codes }] };
      const marks = ticksOf({ ...week, plan }, week.jobs).features;
      return marks.filter((mark) => mark.properties!['done'] === true).map((mark) => String(mark.properties!['id']));
    };
    const said = (done: (layer: Column['layers'][number]) => boolean): Column[] =>
      week.plan!.columns.map((one) => ({ ...one, layers: one.layers.map((layer) => (layer.job === job && layer.kind === 'work' && done(layer) ? { ...layer, stays: 'done' } : layer)) }));
    expect(ticked(week.plan!.columns, free.codes)).toEqual([]);
    expect(ticked(said(() => true), free.codes)).toEqual([job]);
    // One of which a part is left is not done.
    expect(ticked(said((layer) => layer.stage === 'dig'), free.codes)).toEqual([]);
    expect(ticked(week.plan!.columns, ['U-DONE'])).toEqual([free.job]);
    expect(written('tick-4-light-new-footway-done')).toEqual(['E']);
    expect(strokesOf('tick-4-dark-new-footway-done')).toBeGreaterThan(strokesOf('tick-4-dark-new-footway'));
    expect(strokesOf('tick--1-light-new-verge-done')).toBeGreaterThan(strokesOf('tick--1-light-new-verge'));
  });

  it('marks what stands as issued neither as done nor as not planned, and without a colour', () => {
    const [free, other] = week.plan!.unplanned as [UnplannedView, UnplannedView];
    const plan = { ...week.plan!, unplanned: [{ ...free, codes: ['U-STANDS'] }, other] };
    const marks = ticksOf({ ...week, plan }, week.jobs).features;
    const told = (job: string) => marks.find((mark) => mark.properties!['id'] === job)!.properties;
    expect([told(free.job), told(other.job)]).toMatchObject([{ gang: -1, done: false, stands: true }, { gang: -1, done: false, stands: false }]);
    const image = JSON.stringify(layersOf(view).find((layer) => layer.id === 'job')!.layout);
    expect(image).toContain('["==",["get","stands"],true],"-stands"');
    const [stands, done, hollow] = ['-stands', '-done', ''].map((state) => drawn(`tick--1-light-new-footway${state}`));
    // Its lines are others than those of either, in the inks that the others have too.
    expect(stands!.lines).not.toEqual(done!.lines);
    expect(stands!.lines).not.toEqual(hollow!.lines);
    expect(stands!.dashed).toBe(false);
    expect(hollow!.dashed).toBe(true);
    expect(new Set(stands!.inks)).toEqual(new Set([MAP_INK.light.paper, MAP_INK.light.ink]));
  });

  it('gives every gang its letters, also past the twenty-sixth', () => {
    expect(written('tick-4-light-new-cycle_track')).toEqual(['E']);
    const many = sheet({ gangs: 60 });
    expect([many.gangs[25]!.mark, many.gangs[26]!.mark, many.gangs[59]!.mark]).toEqual(['Z', 'AA', 'BH']);
    expect(written('tick-700-dark-replace-verge')).toEqual(['of 700']);
    expect(written('tick--1-light-new-footway')).toEqual([]);
  });

  it('makes again only what has changed', () => {
    const first = placesOf(week);
    const next = placesOf({ ...week, edition: 9, jobs: [...week.jobs] });
    expect(next.ground).toBe(first.ground);
    expect(next.closures).toBe(first.closures);
    expect(next.jobs).not.toBe(first.jobs);
  });
});

describe('redraw', () => {
  const pen = () => ({ setFilter: vi.fn(), setPaintProperty: vi.fn(), setLayoutProperty: vi.fn(), setLayerZoomRange: vi.fn() });

  it('touches nothing where nothing changed', () => {
    const map = pen();
    expect(redraw(map, layersOf(view), layersOf({ ...view }))).toBe(0);
    expect(map.setFilter).not.toHaveBeenCalled();
  });

  it('carries a selected job over by filters alone', () => {
    const map = pen();
    const before = layersOf(view);
    const after = layersOf({ ...view, job: 'J-001' });
    expect(redraw(map, before, after)).toBeGreaterThan(0);
    expect(map.setFilter).toHaveBeenCalledWith('clash-held', expect.arrayContaining(['any']));
    expect(map.setPaintProperty).not.toHaveBeenCalled();
  });

  it('takes a property away that is no longer there', () => {
    const map = pen();
    const layer = (paint: object): LayerSpecification => ({ id: 'a', type: 'line', source: 's', paint });
    redraw(map, [layer({ 'line-width': 2 })], [layer({})]);
    expect(map.setPaintProperty).toHaveBeenCalledWith('a', 'line-width', undefined);
  });

  it('follows the time of day', () => {
    const map = pen();
    redraw(map, layersOf(view), layersOf({ ...view, at: 600 }));
    const call = map.setFilter.mock.calls.find(([id]) => id === 'closure');
    expect(JSON.stringify(call)).toContain('600');
  });
});

describe('camera', () => {
  it('has somewhere to look where there is no place yet', () => {
    const [west, south, east, north] = areaOf({ ...week, jobs: [], gangs: [] });
    // Land's End, Lowestoft, and Unst of the Shetlands.
    for (const [lon, lat] of [[-5.71, 50.07], [1.76, 52.48], [-0.85, 60.85]] as const) expect(west < lon && lon < east && south < lat && lat < north).toBe(true);
    expect(areaOf(week)).toEqual(week.area);
  });

  it('goes to the first places and to another programme, and stays where the same ground is changed', () => {
    const none = { ...week, jobs: [], gangs: [] };
    const [one, ...others] = week.jobs;
    expect(elsewhere(none, week)).toBe(true);
    expect(elsewhere(none, { ...none, edition: 2 })).toBe(false);
    expect(elsewhere(week, { ...week, jobs: others })).toBe(false);
    expect(elsewhere(week, none)).toBe(false);
    expect(elsewhere(week, { ...week, folder: '/kept/elsewhere' })).toBe(false);
    const far = { ...one!, at: [-3.2, 55.9] as [number, number] };
    expect(elsewhere(week, { ...week, folder: '/another', jobs: [far], gangs: [] })).toBe(true);
    expect(elsewhere(week, { ...none, name: 'Another' })).toBe(true);
  });

  it('shows more of the same where it lies beyond what was there', () => {
    const [west, south, east, north] = week.area;
    expect(beyond(week, { ...week, area: [west, south, east, north + 0.01] })).toBe(true);
    expect(beyond(week, { ...week, area: [west + 0.001, south, east, north] })).toBe(false);
    expect(beyond(week, { ...week, jobs: [], gangs: [], area: [-6.5, 49.9, 1.8, 59] })).toBe(false);
  });

  it('leaves something free between what lies over its edges', () => {
    expect(leaving(64, 448, 800)).toEqual([64, 448]);
    expect(leaving(64, 760, 800)).toEqual([64, 664]);
    expect(leaving(900, 900, 800)).toEqual([728, 0]);
    expect(leaving(64, 448, 40)).toEqual([0, 0]);
  });
});

describe('an area by keys', () => {
  const free = { left: 0, top: 60, right: 900, bottom: 360 };

  it('begins in the middle and is moved and sized within what is free', () => {
    const box = begun(free);
    expect(box).toEqual({ left: 300, top: 160, wide: 300, tall: 100 });
    expect(moved(box, [STEP, 0], free)).toEqual({ box: { ...box, left: 320 }, ground: [0, 0] });
    expect(grown(box, [0, STEP], free)).toEqual({ ...box, tall: 120 });
    expect(grown({ ...box, wide: STEP }, [-STEP, 0], free).wide).toBe(STEP);
    expect(grown({ ...box, left: 590 }, [STEP, 0], free).wide).toBe(310);
  });

  it('takes the ground with it past the edge', () => {
    const box = { left: 10, top: 60, wide: 300, tall: 100 };
    expect(moved(box, [-STEP, 0], free)).toEqual({ box: { ...box, left: 0 }, ground: [-10, 0] });
    expect(moved({ ...box, left: 595 }, [STEP, 0], free)).toEqual({ box: { ...box, left: 600 }, ground: [15, 0] });
    expect(carried([4, 70], [0, -STEP], free)).toEqual({ spot: [4, 60], ground: [0, -10] });
  });

  it('leaves alone what another size of the window has put outside', () => {
    const box = { left: 800, top: 60, wide: 300, tall: 100 };
    expect(moved(box, [-STEP, 0], free)).toEqual({ box: { ...box, left: 780 }, ground: [0, 0] });
    expect(moved(box, [STEP, 0], free)).toEqual({ box, ground: [STEP, 0] });
  });
});

describe('importing', () => {
  it('hands the bytes of a map extract over whole, whatever their number', () => {
    expect(base64Of(Uint8Array.from([77, 97, 110]))).toBe('TWFu');
    const bytes = Uint8Array.from({ length: 60_001 }, (_, at) => at % 251);
    const back = Uint8Array.from(atob(base64Of(bytes)), (one) => one.charCodeAt(0));
    expect(back).toEqual(bytes);
  });

  it('refuses a map extract too large to be sent, and says what to do', () => {
    const refusal = tooLarge('land.osm.pbf', LARGEST_SENT + 1, LARGEST_SENT, false);
    expect(refusal).toContain('land.osm.pbf has 101 MB; a map extract of more than 100 MB');
    expect(refusal).toContain('`gangday import`');
    expect(tooLarge('land.osm.pbf', LARGEST_SENT + 1, LARGEST_SENT, true)).toContain('choose it by Import map');
  });

  it('says what came of a map extract', () => {
    expect(extractWords('area.osm.pbf', 120)).toBe('120 streets added from area.osm.pbf');
    expect(extractWords('area.osm.pbf', 0)).toBe('Roads read anew from area.osm.pbf; no street is new');
  });
});

describe('find', () => {
  it('finds a job by id and a street by name, the exact one first', () => {
    expect(find(week, 'j-004')[0]!.leads).toEqual({ what: 'job', id: 'J-004' });
    expect(find(week, 'wharf road')[0]!.leads).toMatchObject({ what: 'street' });
    expect(find(week, '  ')).toEqual([]);
    expect(find(week, 'j', 5)).toHaveLength(5);
  });

  it('finds a job by what people call it', () => {
    const jobs = week.jobs.map((job) => (job.id === 'J-004' ? { ...job, called: 'By the Lych Gate' } : job));
    const found = find({ ...week, jobs }, 'lych gate');
    expect(found.map((one) => one.leads)).toEqual([{ what: 'job', id: 'J-004' }]);
    expect(found[0]!.about).toBe(`By the Lych Gate, ${week.jobs.find((job) => job.id === 'J-004')!.street}`);
    expect(placeOf({ called: 'Hagg Road, 609 m', street: 'Hagg Road' }), 'no street is said twice').toBe('Hagg Road, 609 m');
    expect([placeOf({ called: null, street: 'Hagg Road' }), placeOf({ called: null, street: null })]).toEqual(['Hagg Road', '']);
  });
});

describe('what the public meets', () => {
  const places = placesOf(week);

  it('ties the two parties of a clash by a thread between their jobs', () => {
    const [thread] = places.clashes.features;
    const at = (id: string) => week.jobs.find((job) => job.id === id)!.at;
    expect(thread!.geometry).toEqual({ type: 'LineString', coordinates: [at('J-001'), at('J-002')] });
    expect(thread!.properties).toMatchObject({ job: 'J-001', other: 'J-002' });
  });

  it('draws a way round for each direction that has one', () => {
    const closures = week.plan!.closures.map((one, i) => (i > 0 ? one : { ...one, diversion: { along: [[0, 0], [1, 1]] as [number, number][], against: [], words: '', cut_off: [], addresses: [] } }));
    const drawn = placesOf({ ...week, plan: { ...week.plan!, closures } }).diversions.features;
    expect(drawn.map((one) => one.properties!['job'])).toEqual([closures[0]!.job]);
  });

  it('shows ways round and clashes only while they stand', () => {
    const filter = (at: number | null) => JSON.stringify(layersOf({ ...view, day: '2027-03-01', at }).find((layer) => layer.id === 'clash'));
    expect(filter(null)).not.toContain('"from"');
    expect(filter(600)).toContain('["<=",["get","from"],600]');
  });

  it('outlines how many closures stand, each kind on the one before', () => {
    const one = { ...week.plan!.closures[0]!, kind: 'lane', from: 480, to: 540 };
    const paths = outlinesOf([one, { ...one, kind: 'road', from: 510, to: 540 }], { from: 480, to: 540 }, 60, 10);
    expect(paths.map((path) => path.kind)).toEqual(['footway', 'lane', 'road']);
    // Six steps of ten minutes; two at most stand at once, so one lane is half the height.
    expect(paths[1]!.path).toMatch(/^M0 10L0 5H10/);
    expect(paths[2]!.path).toContain('L30 0H40');
    expect(paths[0]!.path).not.toContain(' 0H');
  });
});
