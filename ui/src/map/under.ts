import type { GeoJSONSource, Map as MapLibre, MapGeoJSONFeature, MapMouseEvent } from 'maplibre-gl';

/** What a click may mean, the nearest to the user first. */
const PICKED = ['stack', 'job', 'job-rest', 'chamber-fill', 'closure', 'closure-far', 'street', 'street-edge'] as const;

/** What lies under the pointer, the nearest to the user; undefined where nothing does. */
export function under(map: MapLibre, event: MapMouseEvent): MapGeoJSONFeature | undefined {
  const { x, y } = event.point;
  const near: [[number, number], [number, number]] = [[x - 5, y - 5], [x + 5, y + 5]];
  const layers = PICKED.filter((layer) => map.getLayer(layer) !== undefined);
  const found = map.queryRenderedFeatures(near, { layers: [...layers] });
  return PICKED.map((layer) => found.find((one) => one.layer.id === layer)).find((one) => one !== undefined);
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
