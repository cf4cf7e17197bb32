import { ask, refusalOf } from '../host';
import type { Aside, AsideRow, Refusal } from '../types/gangday';
import { count } from '../words';
import { desk } from './desk.svelte';
import { intake } from './intake.svelte';
import { programme } from './programme.svelte';
import { selection } from './selection.svelte';

/** Where a finding says that something stands which reading had to refuse: its file, and what its place says after that. */
export interface Refused {
  readonly file: string;
  readonly place: string;
}

/** What reading had to refuse and a finding led to, to be put right or taken out of its file. */
class SetAside {
  at = $state.raw<Refused | null>(null);
  rows = $state.raw<readonly AsideRow[]>([]);
  /** Whether they are read: before that nothing is said of them. */
  loaded = $state(false);
  refusal = $state.raw<Refusal | null>(null);
  /** Whether it lies over a list on its way in, which is laid on the desk again after it. */
  #back = false;

  open(at: Refused): void {
    this.#back = desk.over === 'intake';
    this.at = at;
    this.rows = [];
    this.loaded = false;
    this.refusal = null;
    desk.over = 'aside';
  }

  /** Its sheet was put away: once that is done, what it lay over comes back, looked at again, for what is there may be another now. */
  left(): void {
    const back = this.#back;
    this.#back = false;
    queueMicrotask(() => {
      if (!back || desk.over !== null) return;
      desk.over = 'intake';
      void intake.lookAgain();
    });
  }

  /** Reads what still stands aside there. */
  async read(): Promise<void> {
    const at = this.at;
    if (at === null) return;
    try {
      const answer = await ask({ ask: 'aside', file: at.file, place: at.place });
      if (answer.is === 'aside') this.rows = answer.rows;
      this.loaded = true;
    } catch (thrown) {
      this.refusal = refusalOf(thrown);
    }
  }

  /** Puts members of it right, or its place; whether that was done. */
  async mend(aside: Aside, members: Readonly<Record<string, unknown>>, at: [number, number] | null = null): Promise<boolean> {
    const before = this.rows.find((row) => row.aside.list === aside.list && row.aside.nth === aside.nth)?.members['id'];
    const { id = before } = members;
    const jobs = await this.#edit({ do: 'mend', aside, members: { ...members }, at }, '');
    if (jobs === null) return false;
    // Another that had its id may count now too, or alone.
    const job = aside.file === 'jobs.geojson' ? jobs.find((one) => one === String(id)) : undefined;
    const others = jobs.filter((one) => one !== job);
    const so = others.length === 0 ? '' : `; ${others.length === 1 ? `${others[0]} counts` : `${count(others.length, 'job')} count`} now${job === undefined ? '' : ' too'}`;
    programme.said = `${job === undefined ? `${aside.called} changed in ${aside.file}` : `${job} is put right and counts`}${so}. Undo takes it back.`;
    if (job !== undefined) {
      desk.over = null;
      selection.pick({ what: 'job', id: job });
    } else if (typeof members['id'] === 'string' && this.at !== null) {
      // It is called by its id from now on.
      this.at = { ...this.at, place: members['id'] };
      await this.read();
    }
    return true;
  }

  /** Takes it out of its file; whether that was done. */
  async takeOut(aside: Aside): Promise<boolean> {
    const fine = (await this.#edit({ do: 'take_out', aside }, `${aside.called} removed from ${aside.file}. Undo brings it back.`)) !== null;
    if (fine && this.rows.length < 2) desk.over = null;
    return fine;
  }

  async #edit(edit: { do: 'mend'; aside: Aside; members: Record<string, unknown>; at: [number, number] | null } | { do: 'take_out'; aside: Aside }, done: string): Promise<readonly string[] | null> {
    const jobs = await programme.edit('Putting it right', { ask: 'edit', edit }, done);
    this.refusal = programme.refusal;
    programme.refusal = null;
    return jobs;
  }
}

/** A place that was typed: longitude and latitude in degrees; null where one of them is no number. */
export function placeOf(lon: string, lat: string): [number, number] | null {
  const [x, y] = [lon, lat].map((text) => (text.trim() === '' ? Number.NaN : Number(text.trim().replace('−', '-'))));
  return x === undefined || y === undefined || !Number.isFinite(x) || !Number.isFinite(y) ? null : [x, y];
}

export const setAside = new SetAside();
