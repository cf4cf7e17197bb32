import type {
  DataDrivenPropertyValueSpecification, ExpressionSpecification, FilterSpecification, LayerSpecification, StyleSpecification,
} from 'maplibre-gl';
import { gangInk, INKS, type Theme } from '../drawing/gangs';
import { MAP_INK } from './ink';
import type { Places } from './features';
import { putAway } from './sources';

/** What of the sheet the map shows just now. */
export interface View {
  readonly theme: Theme;
  /** The day, or null for the week. */
  readonly day: string | null;
  readonly route: string | null;
  readonly job: string | null;
  readonly street: string | null;
  /** The time of day, minutes, or null for all day. */
  readonly at: number | null;
  readonly gangs: number;
  /** Whether there are so many jobs that those close together are drawn as one. */
  readonly many: boolean;
  /** Whether the pin of the selected job is on its way. */
  readonly carried: boolean;
  /** Pixels for a metre at zoom 20. */
  readonly metre: number;
  /** Pixels for one at the plain text size. */
  readonly rem: number;
}

/** From which zoom on each of many jobs is drawn by itself, with what it takes. */
export const CLOSE = 15;

/** Jobs that lie closer than this, px, are drawn as one stack, below this zoom. */
const CLUSTERED = { cluster: true, clusterRadius: 36, clusterMaxZoom: CLOSE, clusterProperties: { free: ['+', ['case', ['==', ['get', 'route'], ''], 1, 0]] } };

/** Of the ground, what is a street. */
const STREET: FilterSpecification = ['has', 'type'];

const NEVER: FilterSpecification = ['==', ['get', 'id'], ''];

/** The whole style for places and a view. */
export function styleOf(places: Places, view: View): StyleSpecification {
  const sources = Object.fromEntries(
    Object.entries(places).map(([name, data]) => [name, { type: 'geojson' as const, data, tolerance: 0.1, ...(name === 'jobs' && view.many ? CLUSTERED : {}) }]),
  );
  return { version: 8, sources, layers: putAway(layersOf(view), places), transition: { duration: 120, delay: 0 } };
}

/** The layers from the ground up: quiet streets, closures, ways, the streets’ names over all of these, works, words. */
export function layersOf(view: View): LayerSpecification[] {
  return [...ground(view), ...streets(view), ...closures(view), ...diversions(view), ...routes(view), ...threads(view), ...sketch(view), ...names(view), ...works(view), ...words(view), ...marks(view)];
}

function ground({ theme }: View): LayerSpecification[] {
  const ink = MAP_INK[theme];
  const fill: ExpressionSpecification = ['match', ['get', 'ground'], 'water', ink.water, ink.green];
  const lies = (how: 'Polygon' | 'LineString'): FilterSpecification => ['all', ['has', 'ground'], ['==', ['geometry-type'], how]];
  return [
    { id: 'paper', type: 'background', paint: { 'background-color': ink.paper } },
    { id: 'backdrop', type: 'fill', source: 'ground', filter: lies('Polygon'), paint: { 'fill-color': fill } },
    { id: 'backdrop-line', type: 'line', source: 'ground', filter: lies('LineString'), paint: { 'line-color': fill, 'line-width': wide(12, 1.5, 40, 20) } },
  ];
}

function streets({ theme, metre, street, rem }: View): LayerSpecification[] {
  const ink = MAP_INK[theme];
  const lay = { 'line-cap': 'round', 'line-join': 'round' } as const;
  return [
    { id: 'street-held', type: 'line', source: 'ground', layout: lay, filter: street === null ? NEVER : ['==', ['get', 'id'], street], paint: { 'line-color': ink.act, 'line-width': roadWidth(metre, 10, rem) } },
    { id: 'street-edge', type: 'line', source: 'ground', filter: STREET, layout: lay, paint: { 'line-color': ['match', ['get', 'type'], [0, 1, 2], ink.line, ink.line2], 'line-width': roadWidth(metre, 2, rem) } },
    { id: 'street', type: 'line', source: 'ground', filter: STREET, layout: lay, paint: { 'line-color': ink.street, 'line-width': roadWidth(metre, 0, rem) } },
    { id: 'street-way', type: 'symbol', source: 'ground', minzoom: 14, filter: ['==', ['get', 'one_way'], true], layout: { 'symbol-placement': 'line', 'symbol-spacing': 90 * rem, 'icon-image': `way-${theme}`, 'icon-size': rem, 'icon-allow-overlap': true, 'icon-ignore-placement': true } },
  ];
}

/** The names of streets: over every line, on a halo of the paper, and placed after all other words, so that they give way to those. */
function names({ theme, rem }: View): LayerSpecification[] {
  const ink = MAP_INK[theme];
  return [
    { id: 'street-name', type: 'symbol', source: 'ground', minzoom: 13, filter: STREET, layout: { 'symbol-placement': 'line', 'symbol-spacing': 320 * rem, 'text-field': ['get', 'name'], 'text-font': ['Sheet Lettering'], 'text-size': ['match', ['get', 'type'], [0, 1], 14 * rem, [2], 13 * rem, 12 * rem], 'text-letter-spacing': 0.02, 'text-max-angle': 35, 'text-padding': 4 }, paint: { 'text-color': ink.ink2, 'text-halo-color': ink.paper, 'text-halo-width': 2 * rem } },
  ];
}

function closures(view: View): LayerSpecification[] {
  const ink = MAP_INK[view.theme];
  const filter = closureFilter(view);
  const kind: ExpressionSpecification = ['match', ['get', 'kind'], 'road', `band-road-${view.theme}`, 'lane', `band-lane-${view.theme}`, `band-footway-${view.theme}`];
  const minzoom = apart(view);
  return [
    { id: 'closure-far', type: 'line', source: 'closures', minzoom, maxzoom: 16.5, filter, layout: { 'line-join': 'round' }, paint: { 'line-color': ink.act, 'line-width': 7 * view.rem } },
    { id: 'closure', type: 'fill', source: 'closures', minzoom, filter, paint: { 'fill-pattern': kind } },
    { id: 'closure-edge', type: 'line', source: 'closures', minzoom, filter, paint: { 'line-color': ink.ink, 'line-width': ['match', ['get', 'kind'], ['road', 'lane'], 1.8 * view.rem, 1.1 * view.rem] } },
  ];
}

/** Ways round: a line that points where it leads; the one of the job that is held on a bed of its own. */
function diversions(view: View): LayerSpecification[] {
  const ink = MAP_INK[view.theme];
  const filter = standing(view);
  const lay = { 'line-join': 'round' } as const;
  return [
    { id: 'diversion-held', type: 'line', source: 'diversions', filter: heldBy(view, ['job']), layout: lay, paint: { 'line-color': ink.act, 'line-width': 10 * view.rem } },
    { id: 'diversion-bed', type: 'line', source: 'diversions', filter, layout: lay, paint: { 'line-color': ink.paper, 'line-width': 5 * view.rem } },
    { id: 'diversion', type: 'line', source: 'diversions', filter, layout: lay, paint: { 'line-color': ink.ink, 'line-width': 1.6 * view.rem, 'line-dasharray': [6, 2, 1, 2] } },
    { id: 'diversion-way', type: 'symbol', source: 'diversions', filter, layout: { 'symbol-placement': 'line', 'symbol-spacing': 60 * view.rem, 'icon-image': `way-${view.theme}`, 'icon-size': 1.3 * view.rem, 'icon-allow-overlap': true, 'icon-ignore-placement': true } },
  ];
}

/** Clashes: a thread that ties the two parties, thicker where one of them is held. */
function threads(view: View): LayerSpecification[] {
  const ink = MAP_INK[view.theme];
  const thread = (id: string, width: number, filter: FilterSpecification): LayerSpecification => ({
    id, type: 'line', source: 'clashes', filter, layout: { 'line-cap': 'round' },
    paint: { 'line-color': ink.broken, 'line-width': width * view.rem, 'line-dasharray': [0.1, 2] },
  });
  return [thread('clash', 2.5, standing(view)), thread('clash-held', 5, heldBy(view, ['job', 'other']))];
}

/** Where the job that is held is named by one of these. */
function heldBy(view: View, names: readonly string[]): FilterSpecification {
  const job = view.job;
  if (job === null) return ['==', ['get', 'job'], ''];
  return ['any', ...names.map((name): ExpressionSpecification => ['==', ['get', name], job])];
}

/** What stands on the day that is shown, at the time that is shown. */
function standing(view: View): FilterSpecification {
  const parts: ExpressionSpecification[] = [];
  if (view.day !== null) parts.push(['==', ['get', 'date'], view.day]);
  if (view.at !== null) parts.push(['<=', ['get', 'from'], view.at], ['>', ['get', 'to'], view.at]);
  return ['all', ...parts];
}

/** From which zoom on what each job takes is drawn: of many jobs where their stacks come apart. */
function apart(view: View): number {
  return view.many ? CLOSE : 0;
}

/** The closures of the day that is shown, at the time that is shown. */
export function closureFilter(view: View): FilterSpecification {
  const parts: ExpressionSpecification[] = [['!=', ['get', 'kind'], 'none']];
  if (view.day !== null) parts.push(['==', ['get', 'date'], view.day]);
  if (view.at !== null) parts.push(['<=', ['get', 'from'], view.at], ['>', ['get', 'to'], view.at]);
  return ['all', ...parts];
}

function routes(view: View): LayerSpecification[] {
  const shown = strength(view, 0.85, view.route === null && view.day === null ? 0.35 : 0.06);
  // Thousands of ways over each other say nothing: of many the one that is selected is drawn, the others close by and of the day that is shown.
  const own: ExpressionSpecification[] = !view.many ? [] : view.route !== null ? [['==', ['get', 'route'], view.route]] : view.day !== null ? [['==', ['get', 'date'], view.day]] : [];
  const minzoom = view.route === null ? apart(view) : 0;
  // Gangs that share colour and dashes share a layer: a map of hundreds of them stays as quick.
  return Array.from({ length: Math.min(INKS, view.gangs) }, (_, gang): LayerSpecification => {
    const { colour, dash } = gangInk(gang);
    return {
      id: `route-${gang}`, type: 'line', source: 'routes', minzoom, filter: ['all', ['==', ['%', ['get', 'gang'], INKS], gang], ...own],
      layout: { 'line-join': 'round' },
      paint: { 'line-color': colour, 'line-width': (view.route === null ? 1.8 : 2.6) * view.rem, 'line-opacity': shown, ...(dash.length > 0 ? { 'line-dasharray': [...dash] } : {}) },
    };
  });
}

function works(view: View): LayerSpecification[] {
  const ink = MAP_INK[view.theme];
  return [
    { id: 'dig-held', type: 'line', source: 'digs', minzoom: 18, filter: ['all', ['==', ['get', 'what'], 'dig'], ['==', ['get', 'id'], view.job ?? '']], paint: { 'line-color': ink.act, 'line-width': 8 * view.rem } },
    { id: 'dig', type: 'line', source: 'digs', minzoom: 16, filter: ['==', ['get', 'what'], 'dig'], paint: { 'line-color': ink.ink, 'line-width': 1, 'line-dasharray': [4, 2] } },
    { id: 'chamber-fill', type: 'fill', source: 'digs', minzoom: 16, filter: ['==', ['get', 'what'], 'chamber'], paint: { 'fill-color': chamberInk(view) } },
    { id: 'chamber', type: 'line', source: 'digs', minzoom: 16, filter: ['==', ['get', 'what'], 'chamber'], paint: { 'line-color': ink.ink, 'line-width': 2 } },
    { id: 'job-halo', type: 'symbol', source: 'held', maxzoom: 19, layout: { 'icon-image': `halo-${view.theme}`, 'icon-size': markSize(view), 'icon-allow-overlap': true, 'icon-ignore-placement': true } },
    { id: 'job-carried', type: 'symbol', source: 'held', filter: view.carried ? ['has', 'id'] : NEVER, layout: { 'icon-image': markOf(view), 'icon-size': markSize(view), 'icon-allow-overlap': true, 'icon-ignore-placement': true } },
    { id: 'job-rest', type: 'circle', source: 'jobs', filter: ['all', ['!', ['has', 'point_count']], ['!', shownFilter(view)]], paint: { 'circle-radius': 2.5 * view.rem, 'circle-color': ink.paper, 'circle-stroke-color': ink.ink2, 'circle-stroke-width': 1 } },
  ];
}

/** The works area of the job that is selected: its ground, and while it is drawn its corners. */
function sketch(view: View): LayerSpecification[] {
  const ink = MAP_INK[view.theme];
  const corner: FilterSpecification = ['==', ['geometry-type'], 'Point'];
  return [
    { id: 'area', type: 'fill', source: 'sketch', filter: ['==', ['geometry-type'], 'Polygon'], paint: { 'fill-color': ink.act, 'fill-opacity': 0.3 } },
    { id: 'area-edge', type: 'line', source: 'sketch', filter: ['!=', ['geometry-type'], 'Point'], layout: { 'line-join': 'round' }, paint: { 'line-color': ink.ink, 'line-width': 2 * view.rem, 'line-dasharray': [3, 1.5] } },
    { id: 'area-corner', type: 'circle', source: 'sketch', filter: corner, paint: { 'circle-radius': ['case', ['get', 'held'], 7 * view.rem, 4.5 * view.rem], 'circle-color': ['case', ['get', 'held'], ink.act, ink.paper], 'circle-stroke-color': ink.ink, 'circle-stroke-width': 1.8 * view.rem } },
  ];
}

/** The marks of jobs and yards: on top of every label, so that they are placed first and no label covers one. */
function marks(view: View): LayerSpecification[] {
  const shown: DataDrivenPropertyValueSpecification<number> = view.route === null ? 1 : strength(view, 1, 0.4);
  const always = { 'icon-size': view.rem, 'icon-allow-overlap': true, 'icon-padding': 0 } as const;
  return [
    { id: 'yard', type: 'symbol', source: 'yards', layout: { ...always, 'icon-allow-overlap': !view.many, 'icon-image': ['match', ['get', 'what'], 'depot', `depot-${view.theme}`, `tip-${view.theme}`] } },
    { id: 'stack', type: 'symbol', source: 'jobs', filter: ['has', 'point_count'], layout: { ...always, 'icon-image': `stack-${view.theme}`, 'text-field': ['get', 'point_count_abbreviated'], 'text-font': ['Sheet Figures'], 'text-size': 12 * view.rem, 'text-offset': [-0.25, 0.25], 'text-allow-overlap': true }, paint: { 'text-color': MAP_INK[view.theme].ink } },
    { id: 'job', type: 'symbol', source: 'jobs', maxzoom: 19, filter: alone(shownFilter(view)), layout: { ...always, 'icon-size': markSize(view), 'icon-image': markOf(view), 'symbol-sort-key': ['case', ['==', ['get', 'id'], view.job ?? ''], 100, ['-', 9, ['+', ['get', 'priority'], ['*', 10, ['get', 'nth']]]]] }, paint: { 'icon-opacity': shown } },
  ];
}

/** The image of a job's mark. */
function markOf({ theme }: View): ExpressionSpecification {
  return ['concat', 'tick-', ['to-string', ['get', 'gang']], `-${theme}-`, ['get', 'work'], '-', ['get', 'position'], ['case', ['==', ['get', 'done'], true], '-done', ['==', ['get', 'stands'], true], '-stands', '']];
}

/** A job's mark, smaller from afar, where a week's lie close to one another. */
function markSize({ rem }: View): ExpressionSpecification {
  return ['interpolate', ['linear'], ['zoom'], 12, 0.75 * rem, 15, rem];
}

/** Of those the ones that stand by themselves. */
function alone(filter: ExpressionSpecification): ExpressionSpecification {
  return ['all', ['!', ['has', 'point_count']], filter];
}

/** The jobs that are drawn as ticks: those of the day or the route that is shown, and those in none. */
function shownFilter(view: View): ExpressionSpecification {
  const held: ExpressionSpecification = ['==', ['get', 'id'], view.job ?? ''];
  const free: ExpressionSpecification = ['==', ['get', 'route'], ''];
  if (view.day !== null) return ['any', held, free, ['==', ['get', 'date'], view.day]];
  if (view.route !== null) return ['any', held, ['==', ['get', 'route'], view.route]];
  return ['any', true];
}

function words(view: View): LayerSpecification[] {
  const ink = MAP_INK[view.theme];
  /** A whole week of labels is too much from afar; one day or one route isn't. */
  const busy = view.day === null && view.route === null;
  const text = { 'text-font': ['Sheet Figures'], 'text-anchor': 'top' as const };
  const halo = { 'text-color': ink.ink, 'text-halo-color': ink.paper, 'text-halo-width': 1.8 };
  return [
    { id: 'yard-name', type: 'symbol', source: 'yards', minzoom: view.many ? 12 : 0, layout: { 'text-field': ['get', 'name'], 'text-font': ['Sheet Lettering'], 'text-size': 12 * view.rem, 'text-variable-anchor-offset': ['top', [0, 1.1], 'bottom', [0, -1.1], 'left', [1.2, 0], 'right', [-1.2, 0]], 'text-padding': 1 }, paint: { 'text-color': ink.ink, 'text-halo-color': ink.paper, 'text-halo-width': 1.5 } },
    { id: 'closure-hours', type: 'symbol', source: 'closures', minzoom: (view.day === null ? 15.5 : 14) + closer(view), filter: closureFilter(view), layout: { ...text, 'text-field': ['get', 'hours'], 'text-size': 12 * view.rem, 'text-offset': [0, 1.2], 'text-padding': 1 }, paint: halo },
    { id: 'job-id', type: 'symbol', source: 'jobs', minzoom: busy ? 14.6 + closer(view) : 11, filter: alone(shownFilter(view)), layout: { ...text, 'text-anchor': 'bottom', 'text-field': busy ? ['get', 'id'] : ['concat', ['case', ['==', ['get', 'turn'], ''], '', ['concat', ['get', 'turn'], ': ']], ['get', 'id']], 'text-size': 12 * view.rem, 'text-offset': clearOfHalo(view, -1), 'text-padding': 1, 'symbol-sort-key': ['case', ['==', ['get', 'id'], view.job ?? ''], -1, ['get', 'nth']] }, paint: { ...halo } },
  ];
}

/** A job's words above it or below, further off where the halo of the job that is held stands between. */
function clearOfHalo(view: View, side: 1 | -1): ExpressionSpecification {
  return ['case', ['==', ['get', 'id'], view.job ?? ''], ['literal', [0, side * 1.5]], ['literal', [0, side * 1.2]]];
}

/** Full strength for what is selected, or on the day that is shown; faint for the rest. */
function strength(view: View, full: number, faint: number): DataDrivenPropertyValueSpecification<number> {
  if (view.route !== null) return ['case', ['==', ['get', 'route'], view.route], full, faint];
  if (view.day !== null) return ['case', ['==', ['get', 'date'], view.day], full, ['==', ['get', 'date'], ''], full, faint];
  return full === 1 ? 1 : faint;
}

/** A chamber close by, where its tick has given way to its plan: in its gang's colour. */
function chamberInk(view: View): ExpressionSpecification | string {
  const gangs = Array.from({ length: Math.min(INKS, view.gangs) }, (_, gang) => [gang, gangInk(gang).colour]).flat();
  const paper = MAP_INK[view.theme].paper;
  return gangs.length === 0 ? paper : (['match', ['%', ['get', 'gang'], INKS], ...gangs, paper] as unknown as ExpressionSpecification);
}

/** How much closer a map of larger text has to be for the same picture, zooms. */
function closer(view: View): number {
  return Math.log2(view.rem);
}

/** A street's width to scale once that shows, and at least a line before. */
function roadWidth(metre: number, more: number, rem: number): ExpressionSpecification {
  const least: ExpressionSpecification = ['match', ['get', 'type'], [0, 1], (6 + more) * rem, [2], (4.5 + more) * rem, (3 + more) * rem];
  const scaled = (zoom: number): ExpressionSpecification => ['max', least, ['+', more * rem, ['*', ['get', 'width'], metre / 2 ** (20 - zoom)]]];
  return ['interpolate', ['exponential', 2], ['zoom'], 12, least, 14, scaled(14), 22, scaled(22)];
}

function wide(z1: number, w1: number, w2: number, z2: number): ExpressionSpecification {
  return ['interpolate', ['exponential', 2], ['zoom'], z1, w1, z2, w2];
}
