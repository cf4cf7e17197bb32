import { desk } from './desk.svelte';
import { eye, looking, nudged, stated, type Place } from './eye';
import { intake } from './intake.svelte';
import { programme } from './programme.svelte';
import { selection } from './selection.svelte';

/** What a job that is put down begins with, in its form at once to be changed. Common practice, no source. */
const FRESH = { work: 'new', position: 'footway', sections: 4 };

/** What is put to the map beside jobs: a gang by its depot, or a tip. */
export type Yard = 'gang' | 'tip';

/** A pin on its way to its place: that of a job or a yard, or of one to be. */
class Pin {
  held = $state.raw<{ readonly id: string | null; readonly at: Place; readonly yard?: Yard; readonly row?: number; readonly list?: object | null } | null>(null);

  /** Whether it goes with the pointer until a click puts it down: that of a job that is not there yet, of a row of a list, or of a yard. */
  readonly fresh = $derived(this.held !== null && (this.held.id === null || this.held.yard !== undefined));

  /** What is in hand, in words. */
  readonly words = $derived(wordsOf(this.held));

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

  /** Takes the depot of a gang, or a tip, into the hand, where it stands; or one to be. */
  takeYard(yard: Yard, id: string | null, stands: Place | null): void {
    const at = stands ?? eye.middle();
    if (at !== null && this.#free()) this.held = { id, at, yard };
  }

  /** Takes a pin for a row of a list into the hand; the list is put away until it is put down or let go. */
  takeRow(row: number, stands: Place | null): void {
    const at = stands ?? eye.middle();
    if (at === null || !this.#free()) return;
    desk.over = null;
    this.held = { id: null, at, row, list: intake.file };
  }

  carry(at: Place): void {
    if (this.held !== null) this.held = { ...this.held, at };
  }

  /** Carries it by some metres to the east and to the north. */
  nudge(east: number, north: number): void {
    if (this.held !== null) this.carry(nudged(this.held.at, east, north));
  }

  letGo(): void {
    const { held } = this;
    this.held = null;
    if (held?.row === undefined || held.list !== intake.file) return;
    this.#back(held.row);
    // While it was in hand, the programme may have become another.
    void intake.lookAgain();
  }

  /** Lays the list on the desk again, at the row that it was about. */
  #back(row: number): void {
    intake.seek(row);
    desk.over = 'intake';
  }

  /** Puts it down where it is. */
  async putDown(): Promise<void> {
    const held = this.held;
    if (held === null) return;
    this.held = null;
    if (held.row !== undefined) {
      // Another list came meanwhile: its rows are others.
      if (held.list !== intake.file) return;
      await intake.place(held.row, stated(held.at));
      this.#back(held.row);
    } else if (held.yard !== undefined) await this.#putYard(held.yard, held.id, held.at);
    else if (held.id === null) await this.#add(held.at);
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

  /** A new gang or tip is named in its sheet at once; one that is there has another place. */
  async #putYard(yard: Yard, id: string | null, at: Place): Promise<void> {
    if (id !== null) {
      const place = yard === 'gang' ? { depot: stated(at) } : { at: stated(at) };
      await programme.edit('Moving it', { ask: 'edit', edit: { do: 'row', file: 'gangs.json', row: id, yard, members: place } }, `${id} has another place. Undo takes it back.`);
      return;
    }
    const made = await programme.edit('Adding it', { ask: 'edit', edit: { do: 'add_yard', yard, at: stated(at) } }, '');
    if (made?.[0] === undefined) return;
    programme.said = `${made[0]} is added: say what it is. Undo takes it back.`;
    desk.over = 'gangs';
  }

  #free(): boolean {
    return programme.writes && programme.sheet !== null && programme.doing === null && !programme.planning;
  }
}

function wordsOf(held: Pin['held']): string {
  if (held === null) return '';
  if (held.row !== undefined) return `The pin of row ${held.row + 1} is in hand`;
  if (held.yard === 'gang') return held.id === null ? 'The depot of a new gang is in hand' : `${held.id}’s depot is in hand`;
  if (held.yard === 'tip') return held.id === null ? 'A new tip is in hand' : `${held.id} is in hand`;
  return held.id === null ? 'A new job is in hand' : `${held.id}’s pin is in hand`;
}

export const pin = new Pin();
