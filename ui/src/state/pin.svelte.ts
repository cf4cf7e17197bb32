import { desk } from './desk.svelte';
import { looking, nudged, stated, type Place } from './eye';
import { programme } from './programme.svelte';
import { selection } from './selection.svelte';

/** What a job that is put down begins with, in its form at once to be changed. Common practice, no source. */
const FRESH = { work: 'new', position: 'footway', sections: 4 };

/** A pin on its way to its place: that of a job, or of a job to be. */
class Pin {
  held = $state.raw<{ readonly id: string | null; readonly at: Place } | null>(null);

  /** Whether it is the pin of a job that is not there yet. */
  readonly fresh = $derived(this.held !== null && this.held.id === null);

  /** Takes the pin of a job into the hand, where it stands. */
  take(id: string): void {
    const job = programme.jobs.get(id);
    if (job !== undefined && this.#free()) this.held = { id, at: job.at };
  }

  /** Takes a pin for a new job into the hand. */
  takeFresh(): void {
    const at = looking();
    if (at !== null && this.#free()) this.held = { id: null, at };
  }

  carry(at: Place): void {
    if (this.held !== null) this.held = { id: this.held.id, at };
  }

  /** Carries it by some metres to the east and to the north. */
  nudge(east: number, north: number): void {
    if (this.held !== null) this.carry(nudged(this.held.at, east, north));
  }

  letGo(): void {
    this.held = null;
  }

  /** Puts it down where it is. */
  async putDown(): Promise<void> {
    const held = this.held;
    if (held === null) return;
    this.held = null;
    if (held.id === null) await this.#add(held.at);
    else await programme.change('Moving the pin', { ask: 'edit', edit: { do: 'move', pins: [{ id: held.id, at: stated(held.at) }] } }, `${held.id} has another place; its times may be others now. Undo takes it back.`);
  }

  async #add(at: Place): Promise<void> {
    const jobs = await programme.edit('Adding the job', { ask: 'edit', edit: { do: 'add', at: stated(at), properties: { ...FRESH } } }, '');
    const id = jobs?.[0];
    if (id === undefined) return;
    programme.said = `${id} is added: say what it is. Undo takes it back.`;
    selection.pickJob(id);
    desk.mend(id, 'work');
  }

  #free(): boolean {
    return programme.writes && programme.sheet !== null && programme.doing === null && !programme.planning;
  }
}

export const pin = new Pin();
