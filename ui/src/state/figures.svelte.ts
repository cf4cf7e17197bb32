import { ask, refusalOf } from '../host';
import type { FigureRow, FigureTable, Refusal, Yard } from '../types/gangday';
import { desk } from './desk.svelte';
import { programme } from './programme.svelte';

/** Where something stands that can be changed in its file: a row, or the file itself. */
export interface Place {
  readonly file: string;
  readonly row: string | null;
  /** Which is meant of a gang and a tip, which may have one id. */
  readonly yard?: Yard | null;
}

/** The figures that the programme rests on, and one row of a file that is being put right. */
class Figures {
  tables = $state.raw<readonly FigureTable[]>([]);
  /** What is looked for among them. */
  find = $state('');
  /** Whose figures are shown: all, those without a document, those of the programme's own. */
  whose = $state<'all' | 'unsourced' | 'own'>('all');
  /** The row that is open, and what it states. */
  place = $state.raw<Place | null>(null);
  members = $state.raw<Readonly<Record<string, unknown>>>({});
  /** Whether what it states is read: before that nothing can be changed in it. */
  loaded = $state(false);
  /** The member that a finding is about. */
  wanted = $state<string | null>(null);
  refusal = $state.raw<Refusal | null>(null);

  /** What the week expects of the air on its days, in words: `6–10 °C` where they differ. */
  air = $state('');

  readonly shown = $derived(this.tables.map((table) => ({ ...table, rows: table.rows.filter((row) => passes(row, this.find, this.whose)) })).filter((table) => table.rows.length > 0));

  async read(_edition: number): Promise<void> {
    await this.#trying(async () => {
      const answer = await ask({ ask: 'figures' });
      if (answer.is === 'figures') this.tables = answer.tables;
    });
  }

  /** Opens the figures, at one of them where a finding led there. */
  look(key = ''): void {
    this.find = key;
    this.whose = 'all';
    this.refusal = null;
    desk.over = 'figures';
  }

  /** Opens a row of one of the programme's files. */
  async open(place: Place, member: string | null = null): Promise<void> {
    this.place = place;
    this.wanted = member;
    this.members = {};
    this.loaded = false;
    desk.over = 'row';
    await this.readRow();
  }

  /** Reads what the air is expected to be, day by day. */
  async readAir(usual: number, days: readonly string[]): Promise<void> {
    this.air = airOf(usual, {}, days);
    if (!programme.writes) return;
    const answer = await ask({ ask: 'row', file: 'week.json', row: null }).catch(() => null);
    if (answer?.is === 'row') this.air = airOf(usual, answer.members['temperatures'], days);
  }

  async readRow(): Promise<void> {
    const place = this.place;
    if (place === null) return;
    await this.#trying(async () => {
      const answer = await ask({ ask: 'row', ...place });
      if (answer.is !== 'row') return;
      this.members = answer.members;
      this.loaded = true;
    });
  }

  /** Sets members of a row; null takes one away. What is said once it is done, where that is not the row. */
  async put(place: Place, members: Record<string, unknown>, done = `${place.row ?? Object.keys(members).join(', ')} changed in ${place.file}. Undo takes it back.`): Promise<boolean> {
    const fine = await programme.edit('Changing the figure', { ask: 'edit', edit: { do: 'row', ...place, members } }, done);
    this.refusal = programme.refusal;
    programme.refusal = null;
    return fine !== null;
  }

  async #trying(look: () => Promise<void>): Promise<void> {
    this.refusal = null;
    try {
      await look();
    } catch (thrown) {
      this.refusal = refusalOf(thrown);
    }
  }
}

/** The expected temperature as one figure, or from the coldest to the warmest; a day may state it once, or by the hour. */
export function airOf(usual: number, byDay: unknown, days: readonly string[]): string {
  const stated = (typeof byDay === 'object' && byDay !== null ? byDay : {}) as Record<string, unknown>;
  const numbers = (one: unknown): number[] => (typeof one === 'number' ? [one] : typeof one === 'object' && one !== null ? Object.values(one).filter((hour): hour is number => typeof hour === 'number') : []);
  const all = days.flatMap((day) => {
    const own = numbers(stated[day]);
    return own.length === 0 ? [usual] : own;
  });
  const [low, high] = all.length === 0 ? [usual, usual] : [Math.min(...all), Math.max(...all)];
  const say = (degrees: number): string => degrees.toLocaleString('en-GB').replace('-', '−');
  return low === high ? `${say(low)} °C` : `${say(low)} to ${say(high)} °C`;
}

/** Whether a source is a document: what is from memory or common practice has none. */
export function isDocument(source: string): boolean {
  return source.trim() !== '' && !/^(from memory|common practice)/i.test(source.trim());
}

/** Whether a figure is one of those that are looked for. */
export function passes(row: FigureRow, find: string, whose: 'all' | 'unsourced' | 'own'): boolean {
  if (whose === 'own' && !row.own) return false;
  if (whose === 'unsourced' && isDocument(row.source)) return false;
  const words = find.toLowerCase().split(/\s+/).filter((word) => word !== '');
  const text = `${row.key} ${row.key.replaceAll(/[._]/g, ' ')} ${row.source} ${row.unit}`.toLowerCase();
  return words.every((word) => text.includes(word));
}

/** What was typed for a member, as it is written in a file: a number, a truth, a list, else words. */
export function memberOf(typed: string, was: unknown): unknown {
  const text = typed.trim();
  if (text === '') return null;
  if (typeof was === 'string') return text;
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return text;
  }
}

/** A member as it is shown to be changed. */
export function memberText(value: unknown): string {
  return typeof value === 'string' ? value : JSON.stringify(value);
}

export const figures = new Figures();
