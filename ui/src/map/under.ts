import type { GeoJSONSource, Map as MapLibre, MapGeoJSONFeature, MapMouseEvent } from 'maplibre-gl';
import type { JobView } from '../types/gangday';

/** What a click may mean, the nearest to the user first. */
const PICKED = ['stack', 'job', 'job-rest', 'chamber-fill', 'closure', 'closure-far', 'street', 'street-edge'] as const;

function allUnder(map: MapLibre, event: MapMouseEvent): MapGeoJSONFeature[] {
  const { x, y } = event.point;
  const near: [[number, number], [number, number]] = [[x - 5, y - 5], [x + 5, y + 5]];
  const layers = PICKED.filter((layer) => map.getLayer(layer) !== undefined);
  return map.queryRenderedFeatures(near, { layers: [...layers] });
}

/** What lies under the pointer, the nearest to the user; undefined where nothing does. */
export function under(map: MapLibre, event: MapMouseEvent): MapGeoJSONFeature | undefined {
  const found = allUnder(map, event);
  return PICKED.map((layer) => found.find((one) => one.layer.id === layer)).find((one) => one !== undefined);
}

/** Of a job that was hit and those at exactly its place, the ones that the map shows under the pointer, in the sheet's order. */
export function heaped(map: MapLibre, event: MapMouseEvent, jobs: readonly JobView[], hit: MapGeoJSONFeature): string[] {
  const shown = new Set(allUnder(map, event).map(jobOf));
  const ids = sharing(jobs, jobOf(hit)).filter((id) => shown.has(id));
  return ids.length === 0 ? [jobOf(hit)] : ids;
}

/** The ids of the jobs at exactly the place of a job, itself among them, in the sheet's order. */
export function sharing(jobs: readonly JobView[], id: string): string[] {
  const at = jobs.find((job) => job.id === id)?.at;
  return at === undefined ? [] : jobs.filter((job) => job.at[0] === at[0] && job.at[1] === at[1]).map((job) => job.id);
}

/** The one after that which is picked, and round again; the first where none of them is. */
export function nextOf(ids: readonly string[], picked: string | null): string {
  return ids[(ids.indexOf(picked ?? '') + 1) % ids.length] ?? '';
}

/** The job that a mark or what it takes belongs to. */
export function jobOf(hit: { properties: Record<string, unknown> }): string {
  return String(hit.properties['id'] ?? hit.properties['job']);
}

/** Goes so close to a stack that it comes apart. */
export async function openStack(map: MapLibre, hit: MapGeoJSONFeature): Promise<void> {
  const source = map.getSource<GeoJSONSource>('jobs');
  const zoom = await source?.getClusterExpansionZoom(Number(hit.properties['cluster_id']));
  if (zoom === undefined || hit.geometry.type !== 'Point') return;
  map.easeTo({ center: hit.geometry.coordinates as [number, number], zoom: zoom + 0.2, duration: 300 });
}
