import { ask, refusalOf } from '../host';
import type { ChangeByHand, WhatIfView } from '../types/gangday';

/** What a change by hand would do, or why it can't be made, in words; empty where it can. */
export type Told = readonly [outcome: WhatIfView | null, refused: string];

interface Question {
  readonly change: ChangeByHand;
  readonly answer: Promise<Told>;
  /** The same, once it is there. */
  told: Told | null;
}

/** So many answers are kept at most. */
const KEPT = 256;
/** So many questions are asked ahead while the hand rests. */
const FAR = 24;
/** No gang works into a third day, minutes. */
const LATEST = 2 * 24 * 60;

/**
 * Answers about what is in hand, each asked for once: over the same plan, the same change does the same.
 * What it may be held over next is asked for ahead, so that it is seen there at once.
 */
export class Ahead {
  readonly #questions = new Map<string, Question>();
  #edition = -1;
  /** Counts what is looked at; what was to be asked ahead before is asked no further. */
  #turn = 0;

  /** What a change would do, where that is known of this edition of the sheet. */
  known(change: ChangeByHand, edition: number): Told | null {
    this.#turn++;
    return this.#known(change, edition);
  }

  /** What a change would do; asked for where it is not known, or being asked. */
  async answer(change: ChangeByHand, edition: number): Promise<Told> {
    this.#turn++;
    return this.#known(change, edition) ?? this.#answer(change, edition);
  }

  /**
   * Asks about each change in turn, once what is shown now is drawn and until something else is looked at; then
   * about the same job at the times beside those that do the same, of each gang-day that was asked about.
   */
  async look(changes: readonly ChangeByHand[], edition: number): Promise<void> {
    const turn = ++this.#turn;
    await drawn();
    const queue = [...changes];
    for (let at = 0, asked = 0; at < queue.length && asked < FAR; at++) {
      if (turn !== this.#turn) return;
      const change = queue[at]!;
      const known = this.#known(change, edition);
      asked += known === null ? 1 : 0;
      const told = known ?? (await this.#answer(change, edition));
      // What was known when its turn came has had the times beside it asked about.
      if (known === null || at < changes.length) queue.push(...beside(change, told));
    }
  }

  forget(): void {
    this.#turn++;
    this.#questions.clear();
  }

  #of(edition: number): Map<string, Question> {
    if (edition !== this.#edition) this.#questions.clear();
    this.#edition = edition;
    return this.#questions;
  }

  /** Told of that change, or of the same one to another time that does the same. */
  #known(change: ChangeByHand, edition: number): Told | null {
    const questions = this.#of(edition);
    const own = questions.get(JSON.stringify(change));
    const alike = own ?? [...questions.values()].find((question) => covers(question, change));
    return alike?.told ?? null;
  }

  #answer(change: ChangeByHand, edition: number): Promise<Told> {
    const questions = this.#of(edition);
    const key = JSON.stringify(change);
    const known = questions.get(key);
    if (known !== undefined) return known.answer;
    const question: Question = { change, answer: this.#ask(change, key, (told) => (question.told = told)), told: null };
    questions.set(key, question);
    const [oldest] = questions.keys();
    if (questions.size > KEPT && oldest !== undefined) questions.delete(oldest);
    return question.answer;
  }

  async #ask(change: ChangeByHand, key: string, keep: (told: Told) => void): Promise<Told> {
    try {
      const answer = await ask({ ask: 'what_if', change });
      const told: Told = [answer.is === 'what_if' ? answer.outcome : null, ''];
      keep(told);
      return told;
    } catch (thrown) {
      // A desk that is busy, or can't be reached, may answer the next time.
      this.#questions.delete(key);
      return [null, refusalOf(thrown).text];
    }
  }
}

/** The same job at the times just outside those that do the same. */
function beside(change: ChangeByHand, [outcome]: Told): ChangeByHand[] {
  const alike = outcome?.alike;
  if (alike == null || change.do !== 'move_job') return [];
  return [alike.last + 1, alike.first - 1].filter((at) => at >= 0 && at < LATEST).map((at) => ({ ...change, at }));
}

function covers({ change, told }: Question, other: ChangeByHand): boolean {
  const alike = told?.[0]?.alike;
  if (alike == null || change.do !== 'move_job' || other.do !== 'move_job' || other.at === null) return false;
  return change.job === other.job && change.to === other.to && alike.first <= other.at && other.at <= alike.last;
}

/** Comes back when the next frame is drawn. */
function drawn(): Promise<void> {
  return new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
}
