import type { FeatureCollection } from 'geojson';
import type { GeoJSONSource, LayerSpecification, Map as MapLibre } from 'maplibre-gl';
import type { Places } from './features';

/** What the map's sources were given last: the same is not sent to the workers again. */
export class Sources {
  readonly #map: MapLibre;
  #laid: Partial<Record<string, FeatureCollection>>;

  /** For a map whose style begins with these places. */
  constructor(map: MapLibre, places: Places) {
    this.#map = map;
    this.#laid = { ...places };
  }

  /** Says that the map has a style of its own again, which begins with these places. */
  begin(places: Places): void {
    this.#laid = { ...places };
  }

  /** Gives a source other places; the layers of one that has none are put away, so that no frame is spent on them. */
  put(name: string, data: FeatureCollection, layers: readonly LayerSpecification[]): void {
    const before = this.#laid[name];
    const source = before === data ? undefined : this.#map.getSource<GeoJSONSource>(name);
    if (source === undefined) return;
    this.#laid[name] = data;
    void source.setData(data);
    if (bare(before) === bare(data)) return;
    for (const layer of layers) if ('source' in layer && layer.source === name) this.#map.setLayoutProperty(layer.id, 'visibility', bare(data) ? 'none' : 'visible');
  }
}

function bare(places: FeatureCollection | undefined): boolean {
  return places === undefined || places.features.length === 0;
}

/** The layers of a style, those put away whose places there are none of. */
export function putAway(layers: readonly LayerSpecification[], places: Places): LayerSpecification[] {
  const all: Partial<Record<string, FeatureCollection>> = { ...places };
  return layers.map((layer) => ('source' in layer && typeof layer.source === 'string' && bare(all[layer.source]) ? ({ ...layer, layout: { ...layer.layout, visibility: 'none' } } as LayerSpecification) : layer));
}
