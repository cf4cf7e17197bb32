import { ask, refusalOf } from '../host';
import type { ComparisonView } from '../types/gangday';
import { programme } from './programme.svelte';

/** Plans that were issued, and two of them side by side. */
class Plans {
  comparison = $state.raw<ComparisonView | null>(null);
  #asked = '';

  async issue(on: string): Promise<void> {
    const next = (programme.sheet?.issues.at(-1)?.number ?? 0) + 1;
    await programme.change('Issuing the plan', { ask: 'issue', on }, `Plan ${next} is issued.`);
  }

  /** Holds two plans against one another, by their numbers; 0 is the one on the desk. */
  async compare(one: number, other: number, edition: number): Promise<void> {
    const asked = `${one} ${other} ${edition}`;
    if (asked === this.#asked) return;
    this.#asked = asked;
    try {
      const answer = await ask({ ask: 'compare', one, other });
      if (answer.is === 'comparison' && asked === this.#asked) this.comparison = answer.comparison;
    } catch (thrown) {
      programme.refusal = refusalOf(thrown);
    }
  }
}

export const plans = new Plans();
