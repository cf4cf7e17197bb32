import type { FilterSpecification, LayerSpecification } from 'maplibre-gl';

/** What the redrawing needs of a map. */
export interface Drawable {
  setFilter(layer: string, filter?: FilterSpecification | null): unknown;
  setPaintProperty(layer: string, name: string, value: unknown): unknown;
  setLayerZoomRange(layer: string, minzoom: number, maxzoom: number): unknown;
  setLayoutProperty(layer: string, name: string, value: unknown): unknown;
}

/** Carries the changes between two lists of the same layers over to a map, and nothing else. */
export function redraw(map: Drawable, before: readonly LayerSpecification[], after: readonly LayerSpecification[]): number {
  const old = new Map(before.map((layer) => [layer.id, layer]));
  let changes = 0;
  for (const layer of after) {
    const was = old.get(layer.id);
    if (was === undefined) continue;
    if (differ(filterOf(was), filterOf(layer))) {
      map.setFilter(layer.id, filterOf(layer) ?? null);
      changes += 1;
    }
    if (was.minzoom !== layer.minzoom || was.maxzoom !== layer.maxzoom) {
      map.setLayerZoomRange(layer.id, layer.minzoom ?? 0, layer.maxzoom ?? 24);
      changes += 1;
    }
    changes += each(was.paint, layer.paint, (name, value) => map.setPaintProperty(layer.id, name, value));
    changes += each(was.layout, layer.layout, (name, value) => map.setLayoutProperty(layer.id, name, value));
  }
  return changes;
}

function filterOf(layer: LayerSpecification): FilterSpecification | undefined {
  return 'filter' in layer ? layer.filter : undefined;
}

function each(was: object | undefined, is: object | undefined, set: (name: string, value: unknown) => void): number {
  const a = (was ?? {}) as Record<string, unknown>;
  const b = (is ?? {}) as Record<string, unknown>;
  const changed = [...new Set([...Object.keys(a), ...Object.keys(b)])].filter((name) => differ(a[name], b[name]));
  for (const name of changed) set(name, b[name]);
  return changed.length;
}

function differ(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) !== JSON.stringify(b);
}
