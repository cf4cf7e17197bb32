import { coded } from './coded';
import { patched } from './patch';
import { recent } from './recent.svelte';
import { ask, door, refusalOf } from '../host';
import type {
  Answer, ClosureView, Column, FindingView, GangView, JobView, OrderView, ProgressView, Refusal, Request, Sheet,
} from '../types/gangday';

const POLL_MS = 150;
/** From so many jobs on only what changed is asked for. */
const LARGE = 1000;
/** What may be answered by what it changed. */
const CHANGES: readonly string[] = ['edit', 'undo', 'redo', 'change', 'mark', 'record', 'record_as_planned', 'record_as_issued', 'bring_over', 'take_in'];

/** The sheet as it stands, and what the host is doing. */
class Programme {
  sheet = $state.raw<Sheet | null>(null);
  refusal = $state.raw<Refusal | null>(null);
  progress = $state.raw<ProgressView | null>(null);
  /** What is being waited for, in words; null where nothing is. */
  doing = $state<string | null>(null);
  /** The last thing done, for the title block and screen readers. */
  said = $state('');
  started = $state(false);
  /** Whether findings and figures are still those of before the last change. */
  checking = $state(false);
  #stopping: Promise<void> | null = null;
  #stopped = false;
  #touched: readonly string[] = [];
  #told = '';

  readonly plan = $derived(this.sheet?.plan ?? null);
  readonly jobs = $derived(index(this.sheet?.jobs ?? [], (job: JobView) => job.id));
  readonly gangs = $derived(index(this.sheet?.gangs ?? [], (gang: GangView) => gang.id));
  readonly columns = $derived(index(this.plan?.columns ?? [], (column: Column) => column.key));
  readonly orders = $derived(index(this.plan?.orders ?? [], (order: OrderView) => order.key));
  readonly closures = $derived(index(this.plan?.closures ?? [], (closure: ClosureView) => closure.job));
  /** The jobs that were done before the week. */
  readonly over: ReadonlySet<string> = $derived(coded(this.plan, 'U-DONE'));
  /** The jobs of which a part is done in the plan, and another is left. */
  readonly begun = $derived(inPart(this.plan?.columns ?? []));
  /** What is recorded as done, by job and stage. */
  readonly recorded: ReadonlySet<string> = $derived(new Set((this.sheet?.records ?? []).map((one) => `${one.job} ${one.stage}`)));
  /** Why each job stays, of those that do: `locked`, or `done` where any of it is. */
  readonly stays = $derived(staying(this.plan?.columns ?? []));
  /** The jobs that stand as they were issued in an earlier week. */
  readonly standing: ReadonlySet<string> = $derived(coded(this.plan, 'U-STANDS'));
  /** The jobs of which a part is done and what is left finds no day of the week. */
  readonly unfinished: ReadonlySet<string> = $derived(coded(this.plan, 'U-REST'));
  /** The jobs that are left out in truth: what is done, stands as issued or was begun in the week is not. */
  readonly leftOut = $derived((this.plan?.unplanned ?? []).map((one) => one.job).filter((job) => !this.over.has(job) && !this.standing.has(job) && !this.unfinished.has(job)));
  readonly findings = $derived(gather(this.sheet?.findings ?? []));

  get planning(): boolean {
    return this.progress?.running ?? false;
  }

  /** Whether what is under way is no planning: the reading of a map extract or a list, or the writing of a pack. */
  get reading(): boolean {
    return this.progress?.reading ?? false;
  }

  get writes(): boolean {
    return door().writes;
  }

  /** Reads the sheet for the first time. */
  async start(): Promise<void> {
    const under = await this.#underWay();
    await this.#during('Reading the programme', { ask: 'sheet' });
    this.progress = under;
    this.started = true;
    if (under === null) return;
    await (under.reading ? this.#toTheEnd('Drawing the sheet', `${under.title} is over.`) : this.#toTheEnd());
  }

  /** Looks whether another page on the same desk has changed something; where it has, shows it. */
  async lookAgain(): Promise<void> {
    const seen = this.sheet;
    const busy = (): boolean => this.doing !== null || this.planning || this.checking || this.sheet !== seen;
    if (seen === null || !this.writes || busy()) return;
    const under = await this.#underWay();
    if (busy()) return;
    if (under !== null) {
      this.progress = under;
      return this.#toTheEnd('Drawing the sheet', under.reading ? `${under.title} is over.` : undefined);
    }
    const answer = await ask({ ask: 'since', edition: seen.edition, of: { ask: 'sheet' } }).catch(() => null);
    if (answer === null || busy() || editionOf(answer) === seen.edition) return;
    try {
      await this.#takeWhole(answer);
      this.said = 'The programme was changed in another page; it is shown as it is now.';
    } catch (thrown) {
      this.refusal = refusalOf(thrown);
    }
  }

  /** Asks for something that gives back a sheet. */
  async change(words: string, request: Request, done = ''): Promise<boolean> {
    const fine = await this.#during(words, request);
    if (fine && done !== '') this.said = done;
    return fine;
  }

  /** Asks for an edit; gives the jobs that it touched or made, or null where it was refused. */
  async edit(words: string, request: Request, done: string): Promise<readonly string[] | null> {
    this.#touched = [];
    return (await this.change(words, request, done)) ? this.#touched : null;
  }

  /** Asks for something of which the desk says what it did; gives that, or null where it was refused. */
  async tell(words: string, request: Request): Promise<string | null> {
    this.#told = '';
    return (await this.change(words, request)) ? this.#told : null;
  }

  /** Does something that takes long, with how far it is shown meanwhile; whether somebody has stopped it. */
  async watched<T>(what: () => Promise<T>): Promise<{ readonly value: T; readonly stopped: boolean }> {
    this.#stopped = false;
    let end = (): void => undefined;
    const over = { is: false, ended: new Promise<void>((resolve) => (end = resolve)) };
    const seen = this.#alongside(over);
    try {
      return { value: await what(), stopped: this.#stopped };
    } finally {
      over.is = true;
      end();
      await seen;
      await this.#stopping;
      this.progress = null;
      this.#stopping = null;
    }
  }

  async #alongside(over: { is: boolean; readonly ended: Promise<void> }): Promise<void> {
    while (!over.is) {
      await Promise.race([new Promise((wake) => setTimeout(wake, POLL_MS)), over.ended]);
      const answer = over.is ? null : await ask({ ask: 'progress' }).catch(() => null);
      if (!over.is && answer?.is === 'progress') this.progress = answer.progress.running ? answer.progress : null;
    }
  }

  /** Writes the whole pack where the door puts such things; stopped, nothing of it is left. */
  async pack(): Promise<void> {
    this.doing = 'Writing the pack';
    this.refusal = null;
    try {
      const { value } = await this.watched(() => door().savePack?.() ?? Promise.resolve(null));
      if (value !== null) this.said = `The pack is written: ${value}`;
    } catch (thrown) {
      if (this.#stopped) this.said = 'Stopped; nothing of the pack was kept.';
      else this.refusal = refusalOf(thrown);
    } finally {
      this.doing = null;
    }
  }

  /** Starts making the week and follows it to its end. */
  async makeWeek(seconds: number | null = null, again = false): Promise<void> {
    const how = { seconds, iterations: null, seed: null };
    const words = again ? 'Planning the rest again' : 'Making the week';
    if (!(await this.#during(words, again ? { ask: 'replan', ...how } : { ask: 'plan', ...how }))) return;
    await this.#toTheEnd();
  }

  /** Has a map extract read, where it lies or as it is sent, and follows it to its end; whether anything came of it. */
  async readExtract(words: string, request: Request): Promise<boolean> {
    this.#stopped = false;
    const before = this.sheet?.edition;
    if (!(await this.#during(words, request))) return false;
    await this.#toTheEnd('Drawing the streets', '');
    // Stopped when all was read already, it is in all the same.
    const stopped = this.#stopped && this.sheet?.edition === before;
    if (this.refusal === null && stopped) this.said = 'Stopped; nothing of the map extract was taken in.';
    return this.refusal === null && !stopped;
  }

  /** The planning or the reading that a page before this one began, if it still runs. */
  async #underWay(): Promise<ProgressView | null> {
    if (!this.writes) return null;
    const answer = await ask({ ask: 'progress' }).catch(() => null);
    return answer?.is === 'progress' && answer.progress.running ? answer.progress : null;
  }

  async #toTheEnd(words = 'Drawing the week', done?: string): Promise<void> {
    try {
      await this.#follow();
      await this.#stopping;
      const said = done ?? (await this.#cameOf());
      await this.change(words, { ask: 'sheet' }, said);
    } catch (thrown) {
      this.refusal = refusalOf(thrown);
    } finally {
      this.progress = null;
      this.#stopping = null;
    }
  }

  /** What came of the planning; told once it is over, and not while it is being stopped. */
  async #cameOf(): Promise<string> {
    const told = await ask({ ask: 'progress' });
    const words = told.is === 'progress' ? told.progress.words : '';
    return words === '' ? 'The week is planned.' : words;
  }

  /** Ends the planning, of which the best week so far is kept, or the reading, of which nothing is. */
  async stop(): Promise<void> {
    this.#stopped = true;
    // The plan is there when this is answered, and not when the search says that it has ended.
    this.#stopping = ask({ ask: 'stop' }).then(() => undefined, (thrown: unknown) => void (this.refusal = refusalOf(thrown)));
    await this.#stopping;
  }

  async clientPage(): Promise<void> {
    this.doing = 'Writing the client page';
    try {
      const where = await door().saveClientPage();
      if (where !== null) this.said = `Client page written: ${where}`;
    } catch (thrown) {
      this.refusal = refusalOf(thrown);
    } finally {
      this.doing = null;
    }
  }

  async #follow(): Promise<void> {
    for (;;) {
      const answer = await ask({ ask: 'progress' });
      // What is over says nothing any more; what was said last stays until the sheet is there.
      if (answer.is !== 'progress' || !answer.progress.running) return;
      this.#take(answer);
      await new Promise((wake) => setTimeout(wake, POLL_MS));
    }
  }

  async #during(words: string, request: Request): Promise<boolean> {
    this.doing = words;
    this.refusal = null;
    try {
      await this.#takeWhole(await ask(this.#shortly(request)));
      return true;
    } catch (thrown) {
      this.refusal = refusalOf(thrown);
      return false;
    } finally {
      this.doing = null;
    }
  }

  /** Asks for what changes and not for the whole sheet, where that is large. */
  #shortly(request: Request): Request {
    const sheet = this.sheet;
    if (sheet === null || sheet.jobs.length < LARGE || !CHANGES.includes(request.ask)) return request;
    return { ask: 'since', edition: sheet.edition, of: request };
  }

  /** Takes an answer; a patch that is for another sheet than this one is no use, then the whole is asked for. */
  async #takeWhole(answer: Answer): Promise<void> {
    if (answer.is !== 'patched') return this.#take(answer);
    if (this.sheet !== null && answer.patch.from === this.sheet.edition) this.sheet = patched(this.sheet, answer.patch);
    else this.#take(await ask({ ask: 'sheet' }));
    this.#touched = answer.jobs;
    this.#told = answer.told ?? this.#told;
    if (!answer.patch.settled && !this.checking) void this.#settle();
  }

  /** Goes on asking until everything that follows from the last change is worked out. */
  async #settle(): Promise<void> {
    this.checking = true;
    try {
      while (this.checking && this.sheet !== null) {
        const answer = await ask({ ask: 'since', edition: this.sheet.edition, of: { ask: 'sheet' } });
        if (answer.is !== 'patched' || answer.patch.settled) this.checking = false;
        // Another change may have been made meanwhile: what comes with that is asked for next.
        if (answer.is !== 'patched' || answer.patch.from === this.sheet.edition) await this.#takeWhole(answer);
        else this.checking = true;
      }
    } catch (thrown) {
      this.refusal = refusalOf(thrown);
    }
    this.checking = false;
  }

  #take(answer: Answer): void {
    if (answer.is === 'sheet' || answer.is === 'saved' || answer.is === 'edited') this.sheet = answer.sheet;
    if (answer.is === 'edited') {
      this.#touched = answer.jobs;
      this.#told = answer.told ?? '';
    }
    if (answer.is === 'progress') this.progress = answer.progress;
    if (answer.is === 'saved') {
      this.said = `Saved in ${answer.folder}`;
      recent.note(answer.folder);
    }
  }
}

/** The edition of the sheet that an answer leads to; null where it leads to none. */
function editionOf(answer: Answer): number | null {
  if (answer.is === 'patched') return answer.patch.edition;
  return answer.is === 'sheet' ? (answer.sheet?.edition ?? null) : null;
}

function index<T>(all: readonly T[], key: (one: T) => string): ReadonlyMap<string, T> {
  return new Map(all.map((one) => [key(one), one]));
}

function staying(columns: readonly Column[]): ReadonlyMap<string, string> {
  const by = new Map<string, string>();
  for (const layer of columns.flatMap((column) => column.layers))
    if (layer.job !== null && layer.stays !== null && by.get(layer.job) !== 'done') by.set(layer.job, layer.stays);
  return by;
}

function inPart(columns: readonly Column[]): ReadonlySet<string> {
  const works = columns.flatMap((column) => column.layers).filter((layer) => layer.kind === 'work');
  const of = (done: boolean) => new Set(works.flatMap((layer) => ((layer.stays === 'done') === done ? (layer.job ?? []) : [])));
  const open = of(false);
  return new Set([...of(true)].filter((job) => open.has(job)));
}

function gather(all: readonly FindingView[]): ReadonlyMap<string, FindingView[]> {
  const by = new Map<string, FindingView[]>();
  for (const finding of all)
    if (finding.job !== null) by.set(finding.job, [...(by.get(finding.job) ?? []), finding]);
  return by;
}

export const programme = new Programme();
