import { addProtocol, type LayerSpecification, type Map as MapLibre, type SourceSpecification } from 'maplibre-gl';
import { PMTiles, Protocol, TileType } from 'pmtiles';
import type { MapFile } from '../state/basemap.svelte';
import type { Theme } from '../drawing/gangs';
import { MAP_INK } from './ink';

/** The source of the map that lies under the works, and what its layers' names begin with. */
export const UNDER = 'under';

let protocol: Protocol | undefined;

/** How many files were opened: two of one name are two maps, and each has an address of its own. */
let opened = 0;

/** What a file holds, as the style needs it. */
export interface Sheet {
  readonly source: SourceSpecification;
  /** The names of its vector layers; none where it holds pictures. */
  readonly layers: readonly string[];
  /** Who is to be named for it, as the file says. */
  readonly attribution: string;
}

/** Opens a file as a map to lie under the works; throws where it is none. */
export async function openSheet(file: MapFile): Promise<Sheet> {
  if (protocol === undefined) {
    protocol = new Protocol({ metadata: true });
    addProtocol('pmtiles', protocol.tile);
  }
  opened += 1;
  const key = `file-${opened}`;
  const tiles = new PMTiles({ getKey: () => key, getBytes: async (from, length) => ({ data: await file.read(from, length) }) });
  const header = await tiles.getHeader();
  protocol.add(tiles);
  const url = `pmtiles://${key}`;
  const given = (await tiles.getMetadata()) as { attribution?: unknown; vector_layers?: { id?: unknown }[] };
  const attribution = typeof given.attribution === 'string' ? given.attribution.replace(/<[^>]*>/g, '') : '';
  if (header.tileType !== TileType.Mvt) return { source: { type: 'raster', url, tileSize: 256, attribution }, layers: [], attribution };
  const layers = (given.vector_layers ?? []).map((layer) => String(layer.id ?? '')).filter((id) => id !== '');
  if (layers.length === 0) throw new Error('it names no layers.');
  return { source: { type: 'vector', url, attribution }, layers, attribution };
}

/** Quiet layers for whatever the file holds: water and green as areas, the rest as hairlines, and no words. */
export function underLayers(sheet: Sheet, theme: Theme): LayerSpecification[] {
  const ink = MAP_INK[theme];
  if (sheet.layers.length === 0) return [{ id: `${UNDER}-picture`, type: 'raster', source: UNDER, paint: { 'raster-opacity': theme === 'dark' ? 0.35 : 0.6, 'raster-saturation': -0.7 } }];
  return sheet.layers.flatMap((name): LayerSpecification[] => {
    const wet = /water|ocean|river|sea/i.test(name);
    const green = /land(use|cover)|park|wood|green|natural|site/i.test(name);
    const built = /build/i.test(name);
    if (/label|place|poi|point/i.test(name)) return [];
    const fill = wet ? ink.water : green ? ink.green : built ? ink.line2 : null;
    const line = wet ? ink.water : built ? ink.line : ink.line2;
    const areas: LayerSpecification[] = fill === null ? [] : [{ id: `${UNDER}-${name}-area`, type: 'fill', source: UNDER, 'source-layer': name, filter: ['==', ['geometry-type'], 'Polygon'], paint: { 'fill-color': fill, 'fill-opacity': built ? 0.6 : 1 } }];
    if (green) return areas;
    return [...areas, { id: `${UNDER}-${name}-line`, type: 'line', source: UNDER, 'source-layer': name, paint: { 'line-color': line, 'line-width': ['interpolate', ['linear'], ['zoom'], 10, 0.5, 16, 2] } }];
  });
}

/** Lays it under everything but the paper, in place of the one that lay there. */
export function layUnder(map: MapLibre, sheet: Sheet | null, theme: Theme): void {
  if (sheet === null && map.getSource(UNDER) === undefined) return;
  for (const layer of map.getStyle()?.layers ?? []) if (layer.id.startsWith(`${UNDER}-`)) map.removeLayer(layer.id);
  if (map.getSource(UNDER)) map.removeSource(UNDER);
  if (sheet === null) return;
  map.addSource(UNDER, sheet.source);
  for (const layer of underLayers(sheet, theme)) map.addLayer(layer, 'backdrop');
}
