import { Map as MapLibre, ScaleControl, setWorkerUrl, type StyleSpecification } from 'maplibre-gl';
import workerUrl from 'maplibre-gl/dist/maplibre-gl-worker.mjs?worker&url';
import 'maplibre-gl/dist/maplibre-gl.css';

/** Unrolls a map in an element: flat, north up, with a scale. Throws where the machine can't draw one. */
export function openMap(container: HTMLElement, style: StyleSpecification, bounds: [number, number, number, number], rem: number): MapLibre {
  setWorkerUrl(workerUrl);
  const map = new MapLibre({
    container,
    style,
    bounds,
    attributionControl: false,
    dragRotate: false,
    pitchWithRotate: false,
    touchPitch: false,
    maxPitch: 0,
    fadeDuration: 0,
    boxZoom: false,
    minZoom: 2,
    maxZoom: 21,
    locale: { 'Map.Title': 'Map of the works' },
  });
  map.touchZoomRotate.disableRotation();
  map.keyboard.disableRotation();
  map.addControl(new ScaleControl({ unit: 'metric', maxWidth: 120 * rem }), 'bottom-left');
  return map;
}
