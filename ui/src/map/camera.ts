import { LngLatBounds, type Map as MapLibre } from 'maplibre-gl';
import type { Selected } from '../state/selection.svelte';
import type { Sheet } from '../types/gangday';
import { walked } from './features';

/** What lies over the edges of the map, px. */
export interface Inset {
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly left: number;
}

/** Great Britain, roughly: where there is nothing to look at yet. */
const BRITAIN: [number, number, number, number] = [-7.6, 49.9, 1.8, 58.7];

/** The programme's area; a programme with no place in it has none. */
export function areaOf(sheet: Sheet): [number, number, number, number] {
  const [west, south, east, north] = sheet.area;
  return west <= east && south <= north ? sheet.area : BRITAIN;
}

/** Brings the whole programme into what is free of the map. */
export function showAll(map: MapLibre, sheet: Sheet, inset: Inset, animate: boolean): void {
  const bounds = new LngLatBounds();
  for (const job of sheet.jobs) bounds.extend(job.at);
  for (const gang of sheet.gangs) bounds.extend(gang.depot);
  if (bounds.isEmpty()) bounds.extend(areaOf(sheet));
  map.fitBounds(bounds, { padding: beyond(map, { ...roomy(inset, 20), bottom: inset.bottom + 36 }), maxZoom: 17, animate });
}

/** Brings what is selected into view: gently, and only as far as needed. */
export function goTo(map: MapLibre, sheet: Sheet, held: Selected, inset: Inset): void {
  if (held.what === 'job') {
    const job = sheet.jobs.find((one) => one.id === held.id);
    const round = wayRound(sheet, held.id);
    if (job && round.length > 0) fit(map, [job.at, ...round], inset);
    else if (job) map.easeTo({ center: job.at, zoom: Math.max(map.getZoom(), 17.75), padding: inset, duration: 500 });
    return;
  }
  const points = pointsOf(sheet, held);
  if (points.length === 0) return;
  fit(map, points, inset);
}

function fit(map: MapLibre, points: readonly [number, number][], inset: Inset): void {
  const bounds = new LngLatBounds();
  for (const point of points) bounds.extend(point);
  map.fitBounds(bounds, { padding: beyond(map, roomy(inset, 48)), maxZoom: 17, duration: 500 });
}

/** The way round what a job closes: what is closed says little without it. */
function wayRound(sheet: Sheet, job: string): [number, number][] {
  const ways = sheet.plan?.closures.find((one) => one.job === job)?.diversion;
  return [ways?.along ?? [], ways?.against ?? []].flatMap((steps) => walked(steps));
}

function pointsOf(sheet: Sheet, held: Selected): [number, number][] {
  if (held.what === 'route') return walked(sheet.plan?.columns.find((column) => column.key === held.key)?.way?.line ?? []);
  if (held.what === 'street') return sheet.streets.find((street) => street.id === held.id)?.lines.flat() ?? [];
  return [];
}

/** What is wanted beyond the padding that the map already has: fitting adds the two. */
function beyond(map: MapLibre, wanted: Inset): Inset {
  const has = map.getPadding();
  return {
    top: wanted.top - (has.top ?? 0), right: wanted.right - (has.right ?? 0),
    bottom: wanted.bottom - (has.bottom ?? 0), left: wanted.left - (has.left ?? 0),
  };
}

function roomy(inset: Inset, more: number): Inset {
  return { top: inset.top + more, right: inset.right + more, bottom: inset.bottom + more, left: inset.left + more };
}
