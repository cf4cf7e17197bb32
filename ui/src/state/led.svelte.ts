import { ask } from '../host';
import type { ClosureDetail } from '../types/gangday';

/** One closure in depth: asked for when somebody looks at it, kept until another is looked at or the sheet changes. */
class Led {
  detail = $state.raw<ClosureDetail | null>(null);
  #wanted = '';

  /** Asks for the closure of this job as it is in this edition of the sheet. */
  async look(job: string, edition: number): Promise<void> {
    const wanted = `${job}@${edition}`;
    if (wanted === this.#wanted) return;
    this.#wanted = wanted;
    if (this.detail?.job !== job) this.detail = null;
    const answer = await ask({ ask: 'closure', job }).catch(() => null);
    if (wanted === this.#wanted) this.detail = answer?.is === 'closure' ? answer.detail : null;
  }
}

export const led = new Led();
