import type { Map as MapLibre, MapMouseEvent } from 'maplibre-gl';
import { tick } from 'svelte';
import { carryTo, letFall } from '../board/drag';
import { area } from '../state/area.svelte';
import { eye } from '../state/eye';
import { hand } from '../state/hand.svelte';
import { pin } from '../state/pin.svelte';
import { programme } from '../state/programme.svelte';
import { selection } from '../state/selection.svelte';
import { heaped, nextOf, openStack, under } from './under';

/** What a press on the map needs of the sheet that it lies in. */
export interface Sheeted {
  /** What is picked on the map itself moves nothing. */
  stay(): void;
  /** The user goes elsewhere than to the whole programme. */
  leave(): void;
  /** What a box or a lasso is drawn on, once it is there. */
  glass(): HTMLElement | undefined;
}

/** So near to a corner of a works area it is the corner that is meant, px. */
const NEAR = 9;

/** So far the pointer moves before it carries a pin, px. */
const SLACK = 5;

/** How a drag ends. */
const ENDS = ['pointerup', 'pointercancel'] as const;

/** Says once that a drag is over: the pointer was let go, or `taken` away, as where the system makes a swipe of a touch. */
function onceOver(done: (taken: boolean) => void): void {
  const over = ({ type }: Event): void => {
    for (const end of ENDS) window.removeEventListener(end, over);
    done(type === 'pointercancel');
  };
  for (const end of ENDS) window.addEventListener(end, over);
}

/** What the pointer does on the map: it picks, carries pins, draws works areas and boxes. */
export class Presses {
  readonly #map: MapLibre;
  readonly #on: Sheeted;
  /** Whether the next corner of a works area goes with the pointer: it does once the first was set. */
  #open = false;

  constructor(map: MapLibre, on: Sheeted) {
    this.#map = map;
    this.#on = on;
    map.on('click', (event) => this.#press(event));
    map.on('mousedown', (event) => this.#boxBegins(event));
    map.on('mousedown', (event) => this.#pinBegins(event));
    map.on('mousedown', (event) => this.#cornerBegins(event));
    map.on('mouseout', () => (eye.over = null));
    map.on('mousemove', (event) => this.#moved(event));
  }

  /** Says that the works area was let go. */
  closeArea(): void {
    this.#open = false;
  }

  #moved(event: MapMouseEvent): void {
    eye.over = [event.lngLat.lng, event.lngLat.lat];
    if (pin.fresh) pin.carry(eye.over);
    else if (area.job !== null && this.#open) area.carry(eye.over);
    this.#map.getCanvas().style.cursor = under(this.#map, event) === undefined ? '' : 'pointer';
  }

  #press(event: MapMouseEvent): void {
    if (pin.fresh) {
      pin.carry([event.lngLat.lng, event.lngLat.lat]);
      this.#on.stay();
      void pin.putDown();
    } else if (area.job !== null) this.#setCorner(event);
    else this.#pick(event);
  }

  #pick(event: MapMouseEvent): void {
    const hit = under(this.#map, event);
    this.#on.stay();
    if (hit === undefined) selection.clear();
    else if (hit.layer.id === 'stack') {
      this.#on.leave();
      void openStack(this.#map, hit);
    } else if (hit.layer.id.startsWith('street')) selection.pick({ what: 'street', id: String(hit.properties['id']) });
    else {
      // Where several lie at one place, each click takes the next.
      const ids = heaped(this.#map, event, programme.sheet?.jobs ?? [], hit);
      if (event.originalEvent.shiftKey) selection.pickJobs([ids.find((id) => !selection.ids.has(id)) ?? nextOf(ids, null)], true);
      else selection.pickJob(nextOf(ids, selection.job));
    }
  }

  /** Sets a corner of the works area where the pointer is; twice in one place keeps it. */
  #setCorner(event: MapMouseEvent): void {
    if (event.originalEvent.detail > 1) {
      this.#open = false;
      area.drop();
      void area.keep();
      return;
    }
    area.carry([event.lngLat.lng, event.lngLat.lat]);
    area.set();
    this.#open = true;
  }

  /** A corner that is there already goes with the pointer. */
  #cornerBegins(event: MapMouseEvent): void {
    if (area.job === null || this.#open) return;
    const near = area.ring.findIndex(([lon, lat]) => {
      const { x, y } = this.#map.project([lon, lat]);
      return Math.hypot(x - event.point.x, y - event.point.y) < NEAR;
    });
    if (near < 0) return;
    event.preventDefault();
    const { at, job, ring } = area;
    area.at = near;
    const move = (moved: MapMouseEvent): void => area.carry([moved.lngLat.lng, moved.lngLat.lat]);
    this.#map.on('mousemove', move);
    onceOver((taken) => {
      this.#map.off('mousemove', move);
      if (taken && area.job === job) [area.at, area.ring] = [at, ring];
    });
  }

  /** The pin of the job that is selected goes with the pointer. */
  #pinBegins(event: MapMouseEvent): void {
    if (event.originalEvent.shiftKey || event.originalEvent.button !== 0 || selection.tool !== null || area.job !== null || pin.fresh) return;
    const hit = under(this.#map, event);
    const job = selection.job;
    if (hit === undefined || hit.source !== 'jobs' || hit.layer.id === 'stack' || job === null || !heaped(this.#map, event, programme.sheet?.jobs ?? [], hit).includes(job)) return;
    event.preventDefault();
    const { clientX, clientY } = event.originalEvent;
    let moving = false;
    const move = (moved: PointerEvent): void => {
      moving ||= Math.hypot(moved.clientX - clientX, moved.clientY - clientY) >= SLACK;
      if (moving) this.#carryPin(job, moved);
    };
    window.addEventListener('pointermove', move);
    onceOver((taken) => {
      window.removeEventListener('pointermove', move);
      if (taken) this.#putBack();
      else if (hand.held !== null) letFall();
      else void pin.putDown();
    });
  }

  /** What was carried is where it was before. */
  #putBack(): void {
    pin.letGo();
    hand.letGo();
  }

  /** Over the map its pin goes with the pointer; over the board the job itself does, to be put into a gang-day. */
  #carryPin(job: string, { clientX, clientY }: PointerEvent): void {
    const over = document.elementFromPoint(clientX, clientY);
    if (over?.closest('.board') != null && programme.plan !== null) {
      pin.letGo();
      if (hand.held === null) hand.takeJob(job);
      carryTo(clientX, clientY);
      return;
    }
    hand.letGo();
    if (over?.closest('.map') == null) return;
    if (pin.held === null) pin.take(job);
    const box = this.#map.getCanvas().getBoundingClientRect();
    const { lng, lat } = this.#map.unproject([clientX - box.left, clientY - box.top]);
    pin.carry([lng, lat]);
  }

  /** Shift and a drag draws a box at once, with no tool taken first. */
  #boxBegins(event: MapMouseEvent): void {
    if (!event.originalEvent.shiftKey) return;
    event.preventDefault();
    selection.take('box');
    const { clientX, clientY, pointerId = 1 } = event.originalEvent as PointerEvent;
    void tick().then(() => this.#on.glass()?.dispatchEvent(new PointerEvent('pointerdown', { clientX, clientY, pointerId, button: 0, shiftKey: true, bubbles: true })));
  }
}
