import { LngLatBounds, type Map as MapLibre } from 'maplibre-gl';
import type { Selected } from '../state/selection.svelte';
import type { Sheet } from '../types/gangday';
import { walked } from './features';

type Point = [number, number];

/** What lies over the edges of the map, px. */
export interface Inset {
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly left: number;
}

/** Great Britain with its islands, roughly: where there is nothing to look at yet. */
const BRITAIN: [number, number, number, number] = [-8.2, 49.8, 1.8, 60.9];

/** So much of the map stays free between what lies over its edges, however much does, px. */
const LEAST = 72;

/** A pin that is nearer than this to what covers the map is not seen well, px. */
const BESIDE = 28;

/** The programme's area; a programme with no place in it has none. */
export function areaOf(sheet: Sheet): [number, number, number, number] {
  return hasPlaces(sheet) ? sheet.area : BRITAIN;
}

/** Whether there is any place to look at. */
export function hasPlaces(sheet: Sheet): boolean {
  return sheet.jobs.length > 0 || sheet.gangs.length > 0;
}

/** Whether a sheet lies on other ground than the one before: it has its first places, or it is another programme and shares none with it. */
export function elsewhere(before: Sheet, after: Sheet): boolean {
  if (!hasPlaces(before)) return hasPlaces(after);
  if (before.name === after.name && before.folder === after.folder) return false;
  const there = new Set(placesIn(before));
  return !placesIn(after).some((place) => there.has(place));
}

function placesIn(sheet: Sheet): string[] {
  return [...sheet.jobs.map((job) => job.at), ...sheet.gangs.map((gang) => gang.depot)].map(String);
}

/** Whether a sheet has places beyond the area of the one before. */
export function beyond(before: Sheet, after: Sheet): boolean {
  const [west, south, east, north] = before.area;
  return hasPlaces(after) && (after.area[0] < west || after.area[1] < south || after.area[2] > east || after.area[3] > north);
}

/** Brings the whole programme into what is free of the map. */
export function showAll(map: MapLibre, sheet: Sheet, inset: Inset, animate: boolean): void {
  const bounds = new LngLatBounds();
  for (const job of sheet.jobs) bounds.extend(job.at);
  for (const gang of sheet.gangs) bounds.extend(gang.depot);
  if (bounds.isEmpty()) bounds.extend(areaOf(sheet));
  const padding = clear(map, { ...roomy(inset, 20), bottom: inset.bottom + 36 });
  map.fitBounds(bounds, { padding, absolutePadding: true, maxZoom: 17, animate });
}

/** Brings what is selected into view: gently, and only as far as needed. */
export function goTo(map: MapLibre, sheet: Sheet, held: Selected, inset: Inset): void {
  if (held.what === 'job') {
    const job = sheet.jobs.find((one) => one.id === held.id);
    const round = wayRound(sheet, held.id);
    if (job && round.length > 0) fit(map, [job.at, ...round], inset);
    else if (job) map.easeTo({ center: job.at, zoom: Math.max(map.getZoom(), 17.75), padding: clear(map, inset), duration: 500 });
    return;
  }
  const points = pointsOf(sheet, held);
  if (points.length === 0 || (held.what === 'jobs' && told(map, points, inset))) return;
  fit(map, points, inset);
}

/** How often places were to be kept clear: only the last time counts. */
let asked = 0;

/** Moves the map no further than what lies over it asks for, so that some places are in what is free of it; and once more where another move came between. */
export function keepClear(map: MapLibre, points: readonly Point[], inset: Inset): void {
  const own = ++asked;
  map.once('moveend', (event) => {
    if (own !== asked) return;
    const free = freeOf(map, clear(map, inset), 0);
    if (!areInside(map, points, free) && event.originalEvent === undefined) bringClear(map, points, inset);
  });
  bringClear(map, points, inset);
}

function bringClear(map: MapLibre, points: readonly Point[], inset: Inset): void {
  const padding = clear(map, inset);
  const [from, to] = [middle(map, map.getPadding()), middle(map, padding)];
  const free = freeOf(map, padding, BESIDE);
  const seen = areInside(map, points, free, { x: to.x - from.x, y: to.y - from.y });
  const [only] = points;
  if (seen && !map.isMoving()) map.easeTo({ padding, duration: 200 });
  else if (points.length === 1 && only !== undefined) map.easeTo({ center: only, padding, duration: 200 });
  else fit(map, points, inset);
}

function fit(map: MapLibre, points: readonly Point[], inset: Inset): void {
  map.fitBounds(boundsOf(points), { padding: clear(map, roomy(inset, 48)), absolutePadding: true, maxZoom: 17, duration: 500 });
}

function boundsOf(points: readonly Point[]): LngLatBounds {
  const bounds = new LngLatBounds();
  for (const point of points) bounds.extend(point);
  return bounds;
}

/** Whether places can be told apart where they are: all of them are in what is free of the map, and not from so far away that they are one spot. */
function told(map: MapLibre, points: readonly Point[], inset: Inset): boolean {
  const free = freeOf(map, clear(map, inset), 0);
  const near = map.cameraForBounds(boundsOf(points), { maxZoom: 17 });
  return (near?.zoom ?? 0) < map.getZoom() + 3 && areInside(map, points, free);
}

/** The part of the map that nothing lies over, but for a margin, px. */
export function freeOf(map: MapLibre, inset: Inset, margin: number): Inset {
  const { clientWidth, clientHeight } = map.getCanvas();
  return { left: inset.left + margin, top: inset.top + margin, right: clientWidth - inset.right - margin, bottom: clientHeight - inset.bottom - margin };
}

/** Whether all of some places are in a part of the map, once it has moved by so much, px. */
function areInside(map: MapLibre, points: readonly Point[], free: Inset, by = { x: 0, y: 0 }): boolean {
  return points.map((point) => map.project(point)).every(({ x, y }) => inside(free, x + by.x, y + by.y));
}

function inside(free: Inset, x: number, y: number): boolean {
  return x >= free.left && x <= free.right && y >= free.top && y <= free.bottom;
}

function middle(map: MapLibre, padding: Partial<Inset>): { x: number; y: number } {
  const { clientWidth, clientHeight } = map.getCanvas();
  return { x: (clientWidth + (padding.left ?? 0) - (padding.right ?? 0)) / 2, y: (clientHeight + (padding.top ?? 0) - (padding.bottom ?? 0)) / 2 };
}

/** The way round what a job closes: what is closed says little without it. */
function wayRound(sheet: Sheet, job: string): Point[] {
  const ways = sheet.plan?.closures.find((one) => one.job === job)?.diversion;
  return [ways?.along ?? [], ways?.against ?? []].flatMap((steps) => walked(steps));
}

function pointsOf(sheet: Sheet, held: Selected): Point[] {
  if (held.what === 'route') return walked(sheet.plan?.columns.find((column) => column.key === held.key)?.way?.line ?? []);
  if (held.what === 'jobs') return jobsOf(sheet, new Set(held.ids));
  if (held.what === 'street') return sheet.streets.find((street) => street.id === held.id)?.lines.flat() ?? [];
  return [];
}

/** Where some jobs are. */
export function jobsOf(sheet: Sheet, ids: ReadonlySet<string>): Point[] {
  return sheet.jobs.filter((job) => ids.has(job.id)).map((job) => job.at);
}

/** What is to stay clear of the map's edges: never so much that nothing is left between. */
function clear(map: MapLibre, inset: Inset): Inset {
  const { clientWidth, clientHeight } = map.getCanvas();
  const [left, right] = leaving(inset.left, inset.right, clientWidth);
  const [top, bottom] = leaving(inset.top, inset.bottom, clientHeight);
  return { top, right, bottom, left };
}

/** Two edges of a whole, the far one cut back first where too little would be left between them. */
export function leaving(near: number, far: number, whole: number): [number, number] {
  const spare = Math.max(0, whole - LEAST);
  const first = Math.min(near, spare);
  return [first, Math.min(far, spare - first)];
}

function roomy(inset: Inset, more: number): Inset {
  return { top: inset.top + more, right: inset.right + more, bottom: inset.bottom + more, left: inset.left + more };
}
