import { ask, refusalOf } from '../host';
import { noteClient } from '../intake/clients';
import { mappingOf, PLACED_BY, rowsOf, type Mapping, type Which } from '../intake/mapping';
import type { Correction, FindingView, ListRequest, PreviewView, Refusal, Request, RowPlace } from '../types/gangday';
import { count } from '../words';
import { desk } from './desk.svelte';
import { programme } from './programme.svelte';
import { selection } from './selection.svelte';

const STOPPED = 'Stopped; nothing of the list was taken in.';

/** What the user has said about a list. */
interface Stated {
  readonly client: string;
  readonly changed: Mapping | null;
  readonly corrections: readonly Correction[];
  readonly places: readonly RowPlace[];
}

/** A client's list on its way in: looked at first, put right where it stands, taken in as one step. */
class Intake {
  file = $state.raw<{ readonly name: string; readonly base64: string; readonly path: string | null } | null>(null);
  client = $state('');
  preview = $state.raw<PreviewView | null>(null);
  /** Whose list the preview takes it for. */
  named = $state('');
  refusal = $state.raw<Refusal | null>(null);
  /** Rows that the user leaves out. */
  skip = $state.raw<ReadonlySet<number>>(new Set());
  deleteGone = $state(false);
  which = $state<Which>('all');
  /** Whether an answer is being waited for. */
  asking = $state(false);
  /** The mapping as the user changed it; null while it is the remembered or the guessed one. */
  #changed = $state.raw<Mapping | null>(null);
  #corrections = $state.raw<readonly Correction[]>([]);
  #places = $state.raw<readonly RowPlace[]>([]);
  /** The rows that were shown when more of their kind were asked for. */
  #met = $state.raw<readonly number[]>([]);
  #again = false;
  /** What the preview answers; null where nothing is answered yet. */
  #settled: Stated | null = null;
  /** Counts the looks that were stopped: cells are drawn anew then, as they were before. */
  turn = $state(0);
  /** The file that the preview is of. */
  #of: object | null = null;
  /** That the taking in was stopped, in words, until it is begun again or the list is asked about. */
  told = $state('');
  /** The cell that is to be put right next, or where no column is named the pin of that row: the table shows it and goes there. */
  sought = $state.raw<{ readonly row: number; readonly column: string | null } | null>(null);

  readonly mapping = $derived<Mapping | null>(this.#changed ?? (this.preview === null ? null : mappingOf(this.preview.mapping)));
  /** What is wrong with each row, in words. */
  readonly faults = $derived(byRow(this.preview?.findings ?? []));
  /** What is said about the list as a whole. */
  readonly general = $derived((this.preview?.findings ?? []).filter((one) => one.row == null));
  readonly #statuses = $derived(new Map((this.preview?.rows ?? []).map((one) => [one.row, one.status])));
  /** How many jobs would be made or changed. */
  readonly taken = $derived((this.preview === null ? 0 : this.preview.fresh + this.preview.changed) - [...this.skip].filter((row) => this.#counts(row)).length);

  /** How many jobs that are gone from the list could be deleted. */
  readonly going = $derived(this.preview === null ? 0 : this.preview.gone.length - this.preview.staying.length);

  /** Lays a list on the desk to be looked at; nothing of the programme changes. */
  async look(name: string, base64: string, path: string | null = null): Promise<void> {
    this.file = { name, base64, path };
    this.preview = null;
    this.skip = new Set();
    this.deleteGone = false;
    this.which = 'all';
    this.#changed = null;
    this.#corrections = [];
    this.#places = [];
    this.#met = [];
    this.sought = null;
    this.#settled = null;
    programme.refusal = null;
    // One that comes while another is looked at is looked at by whoever asks about that.
    if (this.asking) return void (await this.#ask());
    programme.doing = 'Looking at the list';
    const stopped = await this.#ask();
    programme.doing = null;
    if (this.preview !== null) desk.over = 'intake';
    else programme.refusal = this.refusal;
    if (stopped) programme.said = STOPPED;
  }

  /** Looks at the same list again, as it was put right so far. */
  async lookAgain(): Promise<void> {
    await this.#ask();
  }

  /** Says whose list it is; what was remembered for them counts unless the user has matched columns already. */
  async setClient(name: string): Promise<void> {
    this.client = name.trim();
    await this.#ask();
  }

  async setMapping(mapping: Mapping): Promise<void> {
    this.#changed = mapping;
    await this.#ask();
  }

  /** Reads a cell as something else. */
  async correct(row: number, column: string, value: string): Promise<void> {
    this.#spell(row, column);
    this.#say(row, column, value);
    await this.#ask();
  }

  #say(row: number, column: string, value: string): void {
    this.#corrections = [...this.#corrections.filter((one) => one.row !== row || one.column !== column), { row, column, value }];
  }

  /** Where a row's place is typed over, what is typed counts, beside the rest of its pin. */
  #spell(row: number, column: string): void {
    const { mapping, preview } = this;
    const columns = mapping === null ? [] : PLACED_BY.map((name) => mapping[name] ?? '');
    if (!this.placed(row) || !columns.includes(column)) return;
    const cells = preview?.rows.find((one) => one.row === row)?.cells ?? [];
    for (const other of columns) if (other !== column && other !== '') this.#say(row, other, cells[preview?.columns.lastIndexOf(other) ?? -1] ?? '');
    this.#places = this.#places.filter((one) => one.row !== row);
  }

  /** Puts a row on the map: its cells say that place then. */
  async place(row: number, at: readonly [number, number]): Promise<void> {
    this.#places = [...this.#places.filter((one) => one.row !== row), { row, at: [at[0], at[1]] }];
    await this.#ask();
  }

  /** Whether the user has put a row on the map. */
  placed(row: number): boolean {
    return this.#places.some((one) => one.row === row);
  }

  /** Goes to a cell of a row, or to its pin; a row that is not shown is asked for. */
  seek(row: number, column: string | null = null): void {
    this.sought = { row, column };
    if (this.preview === null || this.#statuses.has(row)) return;
    this.#met = [...this.#met, row];
    void this.#ask();
  }

  corrected(row: number, column: string): boolean {
    return this.#corrections.some((one) => one.row === row && one.column === column);
  }

  /** Shows more rows of the kind that is looked at, where the list has more of it than are shown. */
  async showMore(): Promise<void> {
    if (this.preview !== null) this.#met = [...this.#met, ...rowsOf(this.preview, this.which).map((row) => row.row)];
    await this.#ask();
  }

  /** Leaves rows out, or takes them in after all. */
  leave(rows: readonly number[], out: boolean): void {
    const next = new Set(this.skip);
    for (const row of rows) if (out) next.add(row); else next.delete(row);
    this.skip = next;
  }

  /** Takes it in as one step that undo takes back; the plan stays. */
  async takeIn(): Promise<void> {
    if (this.file === null || this.preview === null) return;
    const { name, path } = this.file;
    const told = `${count(this.taken, 'job')} taken in from ${name}${this.deleteGone && this.going > 0 ? `, ${this.going} deleted` : ''}${this.preview.at_fault > 0 ? `; ${count(this.preview.at_fault, 'row')} left out, at fault` : ''}. Undo takes it back.`;
    this.told = '';
    const request: Request = { ask: 'take_in', list: { ...this.#list(), seen: this.preview.digest }, skip: [...this.skip], delete_gone: this.deleteGone };
    const { value: jobs, stopped } = await programme.watched(() => programme.edit('Taking the list in', request, told));
    if (jobs === null && stopped) {
      programme.refusal = null;
      programme.said = this.told = STOPPED;
      return;
    }
    if (jobs === null) {
      const { refusal } = programme;
      programme.refusal = null;
      // What lies on the disk may be another list by now: it is shown as it is, under the refusal.
      if (path !== null) await this.#ask();
      this.refusal ??= refusal;
      return;
    }
    noteClient(this.client);
    desk.over = null;
    selection.pickJobs(jobs.filter((id) => programme.jobs.has(id)));
  }

  /** Asks again for what it would do; one question at a time, the latest one answered. Whether somebody has stopped it. */
  async #ask(): Promise<boolean> {
    let ended = false;
    if (this.asking) {
      this.#again = true;
      return false;
    }
    this.asking = true;
    this.told = '';
    do {
      this.#again = false;
      this.refusal = null;
      const asked = this.#stated();
      const file = this.file;
      const question = ask({ ask: 'preview', list: this.#list() }).catch(refusalOf);
      const { value: answer, stopped } = await programme.watched(() => question);
      // What is said of another file than the one that lies there now is said of nothing.
      if ('is' in answer && answer.is === 'preview' && file !== this.file) continue;
      if ('is' in answer && answer.is === 'preview') {
        this.#settled = asked;
        this.named = asked.client;
        this.#show(answer.preview);
      } else if (stopped) {
        ended = true;
        this.#takeBack();
      } else if (!('is' in answer)) {
        this.refusal = answer;
        this.sought = null;
      }
    } while (this.#again);
    this.asking = false;
    return ended;
  }

  #stated(): Stated {
    return { client: this.client, changed: this.#changed, corrections: this.#corrections, places: this.#places };
  }

  /** A look that was stopped leaves the list as it was looked at last. */
  #takeBack(): void {
    this.#again = false;
    this.sought = null;
    if (this.preview === null) return;
    if (this.#settled === null) {
      this.preview = null;
      desk.over = null;
      programme.said = STOPPED;
      return;
    }
    const { client, changed, corrections, places } = this.#settled;
    [this.client, this.#changed, this.#corrections, this.#places] = [client, changed, corrections, places];
    this.turn += 1;
    this.told = 'Stopped; what was asked for last is taken back.';
  }

  /** Rows are told by their numbers: in a list that was changed where it lies, what was done to them by hand is done to none. */
  #show(preview: PreviewView): void {
    const other = this.preview !== null && this.#of === this.file && this.preview.digest !== preview.digest;
    this.preview = preview;
    this.#of = this.file;
    if (!other) return;
    const asked = this.#corrections.length > 0 || this.#places.length > 0;
    const byHand = asked || this.skip.size > 0;
    this.#again ||= asked;
    this.skip = new Set();
    this.#corrections = [];
    this.#places = [];
    this.#met = [];
    // What is shown was put right by hand, and that is gone: only another look is of use.
    this.#settled = asked ? null : this.#stated();
    this.sought = null;
    this.told = `${this.file?.name ?? ''} has changed meanwhile and was looked at again${byHand ? '; rows left out, cells corrected and places given are as the list has them' : ''}.`;
  }

  #counts(row: number): boolean {
    const status = this.#statuses.get(row);
    return status === 'new' || status === 'changed';
  }

  /** The rows that were shown already and those that something was done to by hand: they stay in sight wherever they stand. */
  #inSight(): number[] {
    return [...new Set([...this.#met, ...this.skip, ...this.#corrections.map((one) => one.row), ...this.#places.map((one) => one.row)])];
  }

  #list(): ListRequest {
    const { name, base64, path } = this.file ?? { name: '', base64: '', path: null };
    return { name, base64, path, client: this.client === '' ? null : this.client, mapping: this.#changed as Record<string, unknown> | null, corrections: [...this.#corrections], places: [...this.#places], also: this.#inSight() };
  }
}

function byRow(findings: readonly FindingView[]): ReadonlyMap<number, FindingView[]> {
  const by = new Map<number, FindingView[]>();
  for (const finding of findings) {
    const { row } = finding;
    if (row != null && finding.severity !== 'note') by.set(row, [...(by.get(row) ?? []), finding]);
  }
  return by;
}

export const intake = new Intake();
