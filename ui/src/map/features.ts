import type { Feature, FeatureCollection, Geometry } from 'geojson';
import { marksOf } from '../board/marks';
import { coded } from '../state/coded';
import type { ClosureView, Column, JobView, Sheet } from '../types/gangday';
import { stretchesOf } from './stretches';

/** The sheet's places as feature collections, one a source of the map. */
export interface Places {
  /** What the works lie on: water, green and streets. One source, because each that has lines or areas costs every frame a pass of its own. */
  readonly ground: FeatureCollection;
  readonly closures: FeatureCollection;
  readonly diversions: FeatureCollection;
  readonly clashes: FeatureCollection;
  readonly routes: FeatureCollection;
  readonly digs: FeatureCollection;
  readonly jobs: FeatureCollection;
  /** The jobs that are selected, over all others. */
  readonly held: FeatureCollection;
  readonly yards: FeatureCollection;
  /** The works area of the job that is selected, as it is or as it is drawn. */
  readonly sketch: FeatureCollection;
}

/** From so many jobs on those that lie close together are drawn as one. */
export const MANY = 400;

/** A source without anything in it. */
export const NOTHING: FeatureCollection = collect([]);

/** Everything on the sheet that has a place; what has not changed since it was asked last is the same object. */
export function placesOf(sheet: Sheet): Places {
  const { plan, jobs, gangs } = sheet;
  const columns = plan?.columns ?? null;
  const closures = plan?.closures ?? null;
  const clashes = plan?.clashes ?? null;
  // Of many jobs what they take and how the gangs go is drawn close by only, of those in view.
  const many = jobs.length > MANY;
  return {
    ground: kept.ground([sheet.backdrop, sheet.streets], () => collect([...backdrop(sheet.backdrop), ...sheet.streets.flatMap((street) => streetFeatures(street))])),
    closures: many ? NOTHING : kept.closures([closures], () => collect((closures ?? []).filter((one) => one.footprint.length > 3).flatMap(closureFeatures))),
    diversions: many ? NOTHING : kept.diversions([closures], () => collect((closures ?? []).flatMap(diversionFeatures))),
    clashes: kept.clashes([clashes, jobs], () => collect(clashFeatures(sheet))),
    routes: many ? NOTHING : kept.routes([columns, gangs], () => collect(routeFeatures(sheet))),
    digs: many ? NOTHING : kept.digs([jobs, columns, gangs], () => collect(digFeatures(sheet))),
    jobs: kept.jobs([jobs, columns, gangs, plan?.unplanned], () => collect(jobFeatures(sheet))),
    held: NOTHING,
    yards: kept.yards([gangs, sheet.tips], () => collect(yardFeatures(sheet))),
    sketch: NOTHING,
  };
}

const kept = { ground: keeper(), closures: keeper(), diversions: keeper(), clashes: keeper(), routes: keeper(), digs: keeper(), jobs: keeper(), yards: keeper() };

/** Remembers the last collection and what it was made of; an empty one is always the same. */
function keeper(): (of: readonly unknown[], make: () => FeatureCollection) => FeatureCollection {
  let from: readonly unknown[] = [];
  let made = NOTHING;
  return (of, make) => {
    if (of.length === from.length && of.every((one, i) => one === from[i])) return made;
    from = of;
    const fresh = make();
    return (made = fresh.features.length === 0 ? NOTHING : fresh);
  };
}

/** Pixels for a metre at zoom 20, where a world is 512 px at zoom 0; it halves with every zoom. */
export function metrePixels(sheet: Sheet): number {
  const middle = ((sheet.area[1] + sheet.area[3]) / 2) * (Math.PI / 180);
  const round = 40_075_016.686;
  return (512 * 2 ** 20) / (round * Math.cos(middle));
}

/** Kinds of ground that are drawn as water; all others are green. */
const WET: readonly unknown[] = ['water', 'river', 'canal', 'lake', 'pond'];

function backdrop(text: string | null): Feature[] {
  if (text === null) return [];
  try {
    const read = JSON.parse(text) as FeatureCollection;
    return read.type === 'FeatureCollection' ? read.features.map(backdropFeature) : [];
  } catch {
    return [];
  }
}

function backdropFeature({ geometry, properties }: Feature): Feature {
  return feature(geometry, { ground: WET.includes(properties?.['kind'] ?? properties?.['natural']) ? 'water' : 'green' });
}

function streetFeatures(street: Sheet['streets'][number]): Feature[] {
  const properties = {
    id: street.id,
    name: street.name ?? '',
    type: street.road_type ?? 4,
    width: street.width_m ?? 5.5,
    one_way: street.one_way,
  };
  return street.lines.map((coordinates) => feature({ type: 'LineString', coordinates }, properties));
}

/** A closure once for each date on which it stands: over a night it is there until midnight, and from midnight on. */
function closureFeatures(closure: ClosureView): Feature[] {
  const { job, kind, route, hours } = closure;
  return stretchesOf(closure).map((one) => feature({ type: 'Polygon', coordinates: [closure.footprint] }, { job, kind, route, ...one, hours }));
}

/** The ways round a closed road, each in the direction in which it is driven. */
function diversionFeatures(closure: ClosureView): Feature[] {
  const { job } = closure;
  return [closure.diversion?.along ?? [], closure.diversion?.against ?? []]
    .filter((steps) => steps.length > 1)
    .map(walked)
    .flatMap((coordinates) => stretchesOf(closure).map((one) => feature({ type: 'LineString', coordinates }, { job, ...one })));
}

/** The places of a line that is told in steps, in millionths of a degree. */
export function walked(steps: readonly (readonly [number, number])[]): [number, number][] {
  let [lon, lat] = [0, 0];
  return steps.map(([east, north]) => [(lon += east) / 1e6, (lat += north) / 1e6]);
}

/** A thread from one party of a clash to the other. */
function clashFeatures(sheet: Sheet): Feature[] {
  const places = new Map(sheet.jobs.map((job) => [job.id, job.at]));
  return (sheet.plan?.clashes ?? []).flatMap((clash) => {
    const ends = [places.get(clash.job), places.get(clash.other)].filter((end) => end !== undefined);
    const { job, other, weight } = clash;
    return ends.length < 2 ? [] : stretchesOf(clash).map((one) => feature({ type: 'LineString', coordinates: ends }, { job, other, ...one, weight }));
  });
}

function routeFeatures(sheet: Sheet, columns: readonly Column[] = sheet.plan?.columns ?? []): Feature[] {
  const place = new Map(sheet.gangs.map((gang) => [gang.id, gang.index]));
  return columns.flatMap((column) => {
    const line = walked(column.way?.line ?? []);
    return line.length < 2 ? [] : [feature({ type: 'LineString', coordinates: line }, { route: column.key, date: column.date, gang: place.get(column.gang) ?? 0 })];
  });
}

/** What is drawn of some jobs once they are close: their ground to scale, what they take, the ways of their gangs and the way that is selected. */
export function closeTo(sheet: Sheet, jobs: readonly JobView[], route: string | null): Pick<Places, 'digs' | 'closures' | 'diversions' | 'routes'> {
  const seen = new Set(jobs.map((job) => job.id));
  const ways = new Set([...jobs.flatMap((job) => [job.route, job.next_route]), route]);
  const closures = (sheet.plan?.closures ?? []).filter((one) => seen.has(one.job));
  const some = (features: Feature[]): FeatureCollection => (features.length === 0 ? NOTHING : collect(features));
  return {
    digs: some(digFeatures(sheet, jobs)),
    closures: some(closures.filter((one) => one.footprint.length > 3).flatMap(closureFeatures)),
    diversions: some(closures.flatMap(diversionFeatures)),
    routes: some(routeFeatures(sheet, (sheet.plan?.columns ?? []).filter((column) => ways.has(column.key)))),
  };
}

/** The ticks of some jobs. */
export function ticksOf(sheet: Sheet, jobs: readonly JobView[]): FeatureCollection {
  return collect(jobFeatures(sheet, jobs));
}

/** A works area: its ground, its corners, and which of them is in hand, or -1. */
export function sketchOf(ring: readonly (readonly [number, number])[], at: number): FeatureCollection {
  if (ring.length === 0) return NOTHING;
  const closed = [...ring, ring[0]!].map(([lon, lat]) => [lon, lat]);
  const corners = at < 0 ? [] : ring.map(([lon, lat], i) => feature({ type: 'Point', coordinates: [lon, lat] }, { held: i === at }));
  const ground = ring.length < 3 ? feature({ type: 'LineString', coordinates: closed }, {}) : feature({ type: 'Polygon', coordinates: [closed] }, {});
  return collect([ground, ...corners]);
}

/** The mark of a job that is not there yet. */
export function freshMark(at: readonly [number, number]): FeatureCollection {
  return collect([feature({ type: 'Point', coordinates: [at[0], at[1]] }, { id: '', mark: '', gang: -1, date: '', route: '', priority: 1, work: 'new', position: 'footway', turn: '', nth: 0, done: false, stands: false })]);
}

function digFeatures(sheet: Sheet, jobs: readonly JobView[] = sheet.jobs): Feature[] {
  const gangs = gangsOfRoutes(sheet);
  return jobs.flatMap((job) => {
    const rings = [['dig', job.outline], ['chamber', job.chamber]] as const;
    return rings
      .filter(([, ring]) => ring.length > 3)
      .map(([what, ring]) => feature({ type: 'Polygon', coordinates: [ring] }, { id: job.id, what, gang: gangs.get(job.route ?? '')?.index ?? -1 }));
  });
}

/** The gang of each route. */
function gangsOfRoutes(sheet: Sheet): ReadonlyMap<string, Sheet['gangs'][number]> {
  const gangs = new Map(sheet.gangs.map((gang) => [gang.id, gang]));
  const pairs = (sheet.plan?.columns ?? []).map((column) => [column.key, gangs.get(column.gang)] as const);
  return new Map(pairs.filter((pair): pair is [string, Sheet['gangs'][number]] => pair[1] !== undefined));
}

/** The jobs of which everything is done, in the week or before it. */
function doneIn(plan: Sheet['plan']): ReadonlySet<string> {
  // What is left unfinished stands open, whatever was done of it.
  const open = new Set(coded(plan, 'U-REST'));
  const done = new Set(coded(plan, 'U-DONE'));
  for (const layer of (plan?.columns ?? []).flatMap((column) => column.layers))
    if (layer.kind === 'work' && layer.job !== null) (layer.stays === 'done' ? done : open).add(layer.job);
  return new Set([...done].filter((job) => !open.has(job)));
}

function jobFeatures(sheet: Sheet, jobs: readonly JobView[] = sheet.jobs): Feature[] {
  const gangs = gangsOfRoutes(sheet);
  const columns = new Map(sheet.plan?.columns.map((column) => [column.key, column]));
  const marks = marksOf(sheet.jobs.map((job) => job.id));
  const there = new Map<string, number>();
  const done = doneIn(sheet.plan);
  const standing = coded(sheet.plan, 'U-STANDS');
  return jobs.map((job) => {
    const place = job.at.join();
    const nth = there.get(place) ?? 0;
    there.set(place, nth + 1);
    const column = columns.get(job.route ?? '');
    const gang = gangs.get(job.route ?? '');
    return feature(
      { type: 'Point', coordinates: job.at },
      {
        id: job.id, mark: marks.get(job.id) ?? job.id, gang: gang?.index ?? -1,
        date: column?.date ?? '', route: job.route ?? '', priority: job.priority, work: job.work, position: job.position,
        done: done.has(job.id), stands: standing.has(job.id),
        // Which of those at its place it is: the first has the label, lies on top and is picked first.
        nth,
        // Which of the day's jobs it is, for the label; a gang goes to 1 first.
        turn: column === undefined ? '' : `${column.jobs.indexOf(job.id) + 1}`,
      },
    );
  });
}

function yardFeatures(sheet: Sheet): Feature[] {
  const depots = new Map<string, Feature>();
  for (const gang of sheet.gangs) {
    const key = gang.depot.join();
    const marks = `${(depots.get(key)?.properties?.['marks'] as string | undefined) ?? ''}${gang.mark}`;
    depots.set(key, feature({ type: 'Point', coordinates: gang.depot }, { what: 'depot', marks, name: `Depot ${marks}` }));
  }
  const tips = sheet.tips.map((tip) =>
    feature({ type: 'Point', coordinates: tip.at }, { what: 'tip', marks: '', name: tip.name }),
  );
  return [...depots.values(), ...tips];
}

function feature(geometry: Geometry, properties: Record<string, unknown>): Feature {
  return { type: 'Feature', geometry, properties };
}

function collect(features: Feature[]): FeatureCollection {
  return { type: 'FeatureCollection', features };
}
