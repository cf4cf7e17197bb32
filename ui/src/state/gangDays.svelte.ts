import { ask } from '../host';
import type { GangDayDetail } from '../types/gangday';

/** Gang-days in depth: asked for when somebody looks at them, all that are looked at together, and kept until the sheet is another. */
class GangDays {
  #known = $state.raw<ReadonlyMap<string, GangDayDetail>>(new Map());
  /** Of which edition of the sheet what was asked for is. */
  #edition = -1;
  #asked = new Set<string>();
  #next: string[] = [];

  /** What is known of a gang-day; of the edition before, until there is better. */
  of(key: string): GangDayDetail | null {
    return this.#known.get(key) ?? null;
  }

  /** Says that a gang-day is looked at in this edition of the sheet. */
  look(key: string, edition: number): void {
    if (edition !== this.#edition) {
      this.#edition = edition;
      this.#asked.clear();
      this.#next = [];
    }
    if (this.#asked.has(key)) return;
    this.#asked.add(key);
    this.#next.push(key);
    if (this.#next.length === 1) queueMicrotask(() => void this.#ask(edition));
  }

  async #ask(edition: number): Promise<void> {
    if (edition !== this.#edition || this.#next.length === 0) return;
    const keys = this.#next;
    this.#next = [];
    const answer = await ask({ ask: 'gang_days', keys }).catch(() => null);
    if (edition !== this.#edition) return;
    const told = answer?.is === 'gang_days' ? answer.details : [];
    const asked = [...this.#known].filter(([key]) => this.#asked.has(key));
    this.#known = new Map([...asked, ...told.map((one) => [one.key, one] as const)]);
  }
}

export const gangDays = new GangDays();
