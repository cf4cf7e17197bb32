import { selection } from './selection.svelte';

/** How often the time moves while it plays, and by how much. */
interface Beat {
  readonly every: number;
  readonly by: number;
}

const SMOOTH: Beat = { every: 90, by: 5 };
/** Where movement is not wanted: seldom, and an hour at a time. */
const CALM: Beat = { every: 1200, by: 60 };

/** Plays the closures of a day: nothing moves until it is asked to, and it stops at the day's end. */
class Clockwork {
  playing = $state(false);
  #timer: ReturnType<typeof setInterval> | undefined;
  #hours = { from: 420, to: 1020 };

  /** The hours that it plays through. */
  set(hours: { from: number; to: number }): void {
    this.#hours = hours;
  }

  turn(): void {
    if (this.playing) this.stop();
    else this.#play();
  }

  stop(): void {
    clearInterval(this.#timer);
    this.playing = false;
  }

  #play(): void {
    const { from, to } = this.#hours;
    if (selection.at === null || selection.at >= to) selection.at = from;
    const calm = globalThis.matchMedia?.('(prefers-reduced-motion: reduce)').matches ?? false;
    const beat = calm ? CALM : SMOOTH;
    this.playing = true;
    this.#timer = setInterval(() => this.#step(beat.by), beat.every);
  }

  #step(by: number): void {
    const at = (selection.at ?? this.#hours.from) + by;
    if (at >= this.#hours.to) this.stop();
    selection.at = Math.min(at, this.#hours.to);
  }
}

export const clockwork = new Clockwork();
