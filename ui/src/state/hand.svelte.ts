import type { ChangeByHand, Column, WhatIfView } from '../types/gangday';
import { Ahead, type Told } from './ahead';
import { ByKey } from './byKey.svelte';
import { places } from './places.svelte';
import { programme } from './programme.svelte';

/**
 * What is in hand: a job, by one of its visits where it was picked up by that; several jobs; the rest of a gang-day from one of its jobs on;
 * or a whole gang-day that would change places with another.
 */
export type Held =
  | { readonly what: 'jobs'; readonly jobs: readonly string[]; readonly from: null }
  | { readonly what: 'rest'; readonly job: string; readonly from: string }
  | { readonly what: 'job'; readonly job: string; readonly from: string | null; readonly stage?: string }
  | { readonly what: 'day'; readonly from: string };

/** Where it is held over: a gang-day, and a time of day, or null for where it costs least. */
export interface Over {
  readonly key: string;
  readonly at: number | null;
}

const NOTHING: ReadonlyMap<string, Column | null> = new Map();

/** What the user has picked up from the board, and what putting it down there would do. */
class Hand {
  held = $state.raw<Held | null>(null);
  /** Where it is held; drawn there with what it would do, or a moment later. */
  over: Over | null = null;
  /** The gang-day that it is drawn over. */
  under = $state<string | null>(null);
  outcome = $state.raw<WhatIfView | null>(null);
  /** Whether the place that it is held over is still being asked about; what is shown then may answer one that it was carried past. */
  looking = $state(false);
  /** Why it can't be put down there, in words; empty where it can. */
  refused = $state('');
  /** Whether it was put down where it breaks a rule, and the user has yet to say so again. */
  doubted = $state(false);
  /** Where the pointer has it, px; null where the keyboard does. */
  pointer = $state.raw<{ x: number; y: number } | null>(null);
  /** Whether the pointer drags it, and letting go of its button puts it down. */
  dragged = $state(false);
  /** What the shown outcome answers. */
  #shown: Over | null = null;
  /** What is being asked, until it is answered. */
  #asking: Promise<void> | null = null;
  /** The gang-days that would be others, and the one that it is held over: each is drawn anew for what becomes of itself, and not of another. */
  readonly #then = new ByKey<Column | null>();
  #thenNow = NOTHING;
  readonly #under = new ByKey<true>();
  #late: ReturnType<typeof setTimeout> | undefined;
  readonly #ahead = new Ahead();
  /** The edition of the sheet that it was picked up from. */
  #from = -1;
  /** Whether it is being put down, and stays where it is held until that is done. */
  #falls = false;
  /** Of which edition of the sheet the desk was made ready for questions. */
  #readied = -1;

  readonly job = $derived(this.held?.what === 'job' || this.held?.what === 'rest' ? this.held.job : null);

  /** Whether a part of the job in hand is done, and only the rest of it can be carried to a later day. */
  readonly isRest = $derived(this.held?.what === 'job' && programme.begun.has(this.held.job));

  /** What a gang-day would be then: null for nothing to do, undefined where it stays as it is. */
  thenAt(key: string): Column | null | undefined {
    return this.#then.of(key);
  }

  /** Whether it is held over a gang-day. */
  isOver(key: string): boolean {
    return this.#under.of(key) === true;
  }

  take(held: Held): void {
    if (!this.#free()) return;
    this.letGo();
    this.held = held;
    this.#from = edition();
    if (held.what === 'job') this.ready(held.job);
    this.#lookAhead();
  }

  /** Has the desk make itself ready for questions about the plan, by one about a planned job, before the first one: of 10,000 jobs that takes it a second. */
  ready(job: string): void {
    const now = edition();
    if (now === this.#readied || !this.#free() || programme.stays.has(job) || programme.jobs.get(job)?.route == null) return;
    this.#readied = now;
    void this.#ahead.answer({ do: 'leave_out', job }, now);
  }

  /** Takes a job, by one of its visits where a stage is named: within its gang-day that visit moves, elsewhere the whole job. */
  takeJob(job: string, stage?: string): void {
    this.take({ what: 'job', job, from: homeOf(job), ...(stage === undefined ? {} : { stage }) });
  }

  /** Takes a job and all that its gang-day does after it: put down elsewhere, the day is split there. */
  takeRest(job: string): void {
    const from = programme.jobs.get(job)?.route ?? null;
    if (from !== null) this.take({ what: 'rest', job, from });
  }

  /** Holds it over a place; what that would do is asked for, one question at a time. */
  hold(over: Over | null): void {
    if (this.held === null || this.#falls || same(this.over, over)) return;
    this.#hover(over);
    this.doubted = false;
    if (over === null) this.#show(null, null, '');
    else if (!this.#seen(over)) this.#look();
  }

  /** Moves it by one gang-day or one visit. */
  step(key: string): void {
    const to = this.#next(key);
    if (to === null) return;
    this.pointer = null;
    this.hold(to);
  }

  /** Where a key would move it; null for nowhere. */
  #next(key: string): Over | null {
    if (this.held === null) return null;
    const keys = places.keys;
    const at = keys.indexOf(this.over?.key ?? this.#begins(this.held) ?? '');
    if (key === 'ArrowLeft' || key === 'ArrowRight') {
      const next = at < 0 ? 0 : at + (key === 'ArrowRight' ? 1 : -1);
      const to = keys[Math.min(keys.length - 1, Math.max(0, next))];
      // The pointer has it over a time of day, which it keeps beside there.
      return to === undefined ? null : { key: to, at: this.pointer === null ? null : (this.over?.at ?? null) };
    }
    if (this.held.what !== 'job') return null;
    const over = this.over ?? { key: this.held.from ?? keys[0] ?? '', at: null };
    const times = timesOf(programme.columns.get(over.key), this.held.job);
    const now = times.findIndex((time) => time === over.at);
    const next = Math.min(times.length - 1, Math.max(0, now + (key === 'ArrowDown' ? 1 : -1)));
    return { key: over.key, at: times[next] ?? null };
  }

  /** The gang-day that it comes from: of several jobs, the first one's. */
  #begins(held: Held): string | null {
    return held.what === 'jobs' ? homeOf(held.jobs[0] ?? '') : held.from;
  }

  /** Puts it down where it is held now; where that breaks a rule it has to be said twice. Says whether it was done. */
  async putDown(): Promise<boolean> {
    const change = this.#change(this.over);
    if (change === null || this.refused !== '' || this.#falls) return false;
    this.#falls = true;
    try {
      return await this.#fall(change);
    } finally {
      this.#falls = false;
    }
  }

  /** What it was held over is answered first: what is made is what was shown. */
  async #fall(change: ChangeByHand): Promise<boolean> {
    while (this.#asking !== null) await this.#asking;
    if (this.held === null || this.outcome === null || this.#due()) return false;
    if (!this.outcome.sound && !this.doubted) {
      this.doubted = true;
      this.pointer = null;
      return false;
    }
    return this.make(change, this.outcome.words);
  }

  /** The plan that it was picked up from is another now, or is being made anew: what was told of it no longer holds, and it is let go. */
  settle(now: number, planning: boolean): void {
    if (this.held !== null && (planning || now !== this.#from)) this.letGo();
  }

  /** Makes a change at once. */
  async make(change: ChangeByHand, words: string): Promise<boolean> {
    const fine = await programme.change('Making the change', { ask: 'change', change }, words);
    this.letGo();
    return fine;
  }

  letGo(): void {
    this.held = null;
    this.#hover(null);
    this.pointer = null;
    this.dragged = false;
    this.doubted = false;
    this.#show(null, null, '');
    this.#ahead.forget();
  }

  /** Whether the plan can be changed just now. */
  #free(): boolean {
    return programme.writes && programme.plan !== null && programme.doing === null && !programme.planning;
  }

  #hover(over: Over | null): void {
    this.over = over;
    if (over === null) this.#draw();
    else this.#late ??= setTimeout(() => this.#draw(), GRACE);
  }

  /** Shows the place that it is held over. */
  #draw(): void {
    clearTimeout(this.#late);
    this.#late = undefined;
    this.under = this.over?.key ?? null;
    this.#under.become(this.under === null ? NOWHERE : new Map([[this.under, true]]));
  }

  /** Shows at once what is known of a place already, where nothing is being asked. */
  #seen(over: Over): boolean {
    if (this.#asking !== null) return false;
    const change = this.#change(over);
    const told = change === null ? NOTHING_TOLD : this.#ahead.known(change, edition());
    if (told === null) return false;
    this.#show(over, ...told);
    this.#lookAhead();
    return true;
  }

  /** Asks until the place that it is held over is answered; one question at a time, the first of them at once. */
  #look(): void {
    this.looking = true;
    this.#asking ??= this.#ask().then(() => {
      this.#asking = null;
      this.looking = false;
      if (this.#due()) this.#look();
      else this.#lookAhead();
    });
  }

  /** Asks about where it may be held next: one gang-day or one visit from where it is, and by the pointer at other times there too. */
  #lookAhead(): void {
    if (this.held === null) return;
    const places = this.pointer === null ? KEYS.map((key) => this.#next(key)) : [this.over, ...KEYS.slice(0, 2).map((key) => this.#next(key))];
    const changes = places.map((over) => this.#change(over));
    void this.#ahead.look(changes.filter((change) => change !== null), edition());
  }

  /** Whether it is held over another place than the one that was answered last. */
  #due(): boolean {
    return this.over !== null && !same(this.over, this.#shown);
  }

  async #ask(): Promise<void> {
    while (this.#due()) {
      const held = this.held;
      const over = this.over;
      const change = this.#change(over);
      const told = change === null ? NOTHING_TOLD : await this.#ahead.answer(change, edition());
      // What was let go meanwhile, or is over nothing, is told nothing; nor is what was picked up after it.
      if (this.held === held && this.over !== null) this.#show(over, ...told);
    }
  }

  #show(over: Over | null, outcome: WhatIfView | null, refused: string): void {
    this.#shown = over;
    this.#draw();
    this.refused = refused;
    if (outcome === this.outcome) return;
    this.outcome = outcome;
    this.#thenNow = thenOf(outcome, this.#thenNow);
    this.#then.become(this.#thenNow);
  }

  #change(over: Over | null): ChangeByHand | null {
    const held = this.held;
    if (held === null || over === null) return null;
    if (held.what === 'jobs') return { do: 'move_jobs', jobs: [...held.jobs], to: over.key };
    if (held.what === 'rest') return held.from === over.key ? null : { do: 'split', day: held.from, from: held.job, to: over.key };
    if (held.what === 'day') return held.from === over.key ? null : { do: 'swap', one: held.from, other: over.key };
    if (held.from === over.key && over.at === null) return null;
    if (held.stage !== undefined && held.from === over.key && over.at !== null) return { do: 'move_visit', job: held.job, stage: held.stage, at: over.at };
    return { do: 'move_job', job: held.job, to: over.key, at: over.at };
  }
}

/** So long the place waits for what would become of it, so that both are drawn in one frame and not in two, ms. */
const GRACE = 24;
/** Where it is, it does nothing. */
const NOTHING_TOLD: Told = [null, ''];
const NOWHERE: ReadonlyMap<string, true> = new Map();
const KEYS = ['ArrowRight', 'ArrowLeft', 'ArrowDown', 'ArrowUp'] as const;

/** Of which edition of the sheet what is told is true. */
function edition(): number {
  return programme.sheet?.edition ?? -1;
}

/** The gang-day from which a job is carried: its first, but of one that was begun where the rest is planned; null where it is in none. */
export function homeOf(job: string): string | null {
  const view = programme.jobs.get(job);
  const isLeft = (key: string | null): boolean => programme.columns.get(key ?? '')?.layers.some((layer) => layer.kind === 'work' && layer.job === job && layer.stays !== 'done') ?? false;
  const rest = programme.begun.has(job) ? [view?.route ?? null, view?.next_route ?? null].find(isLeft) : null;
  return rest ?? view?.route ?? null;
}

/** By its key each gang-day that a change would touch, as it would be then; null for one that has nothing to do then. One that is as it was before is the same object. */
export function thenOf(outcome: WhatIfView | null, before: ReadonlyMap<string, Column | null> = NOTHING): ReadonlyMap<string, Column | null> {
  if (outcome === null) return NOTHING;
  const columns = outcome.columns.map((column) => {
    const was = before.get(column.key);
    return [column.key, was != null && JSON.stringify(was) === JSON.stringify(column) ? was : column] as const;
  });
  return new Map([...outcome.emptied.map((key) => [key, null] as const), ...columns]);
}

/** Where a job could begin in a gang-day: where it costs least, first of all, and after each visit. */
export function timesOf(column: Column | undefined, job: string): (number | null)[] {
  const works = (column?.layers ?? []).filter((layer) => layer.kind === 'work' && layer.job !== job);
  const first = column === undefined ? [] : [column.shift_from];
  return [null, ...first, ...new Set(works.map((layer) => layer.from + 1))];
}

function same(one: Over | null, other: Over | null): boolean {
  return one?.key === other?.key && one?.at === other?.at;
}

export const hand = new Hand();
