import { ask, door, refusalOf } from '../host';
import type { JobDetail, Refusal } from '../types/gangday';

/** One job in depth: asked for when somebody looks at it, kept until another is looked at or the sheet changes. */
class Depth {
  detail = $state.raw<JobDetail | null>(null);
  refusal = $state.raw<Refusal | null>(null);
  #wanted = '';

  /** Whether the door can tell more about a job than the sheet does. */
  get possible(): boolean {
    return door().kind !== 'embedded';
  }

  /** Asks for this job as it is in this edition of the sheet. */
  async look(id: string, edition: number): Promise<void> {
    const wanted = `${id}@${edition}`;
    if (!this.possible || wanted === this.#wanted) return;
    this.#wanted = wanted;
    if (this.detail?.job !== id) this.detail = null;
    this.refusal = null;
    try {
      const answer = await ask({ ask: 'job', id });
      if (wanted === this.#wanted && answer.is === 'job') this.detail = answer.detail;
    } catch (thrown) {
      if (wanted === this.#wanted) this.refusal = refusalOf(thrown);
    }
  }
}

export const depth = new Depth();
