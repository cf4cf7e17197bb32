import { desk } from './desk.svelte';
import { programme } from './programme.svelte';

/** Whether another programme would let changes go; a demo week that nobody has touched has none. */
export function unsaved(): boolean {
  const sheet = programme.sheet;
  return sheet !== null && sheet.unsaved && (sheet.folder !== null || sheet.undo !== null || sheet.issues.length > 0);
}

/** Asked before another programme takes the place of one with changes that are not saved. */
class Leaving {
  /** What is to be opened, in words. */
  towards = $state('');
  #answer: ((go: boolean) => void) | null = null;

  /** Whether to go on; asks where anything would be lost. */
  async may(towards: string): Promise<boolean> {
    if (!unsaved()) return true;
    this.#end(false);
    programme.refusal = null;
    this.towards = towards;
    desk.over = 'leave';
    return new Promise((answer) => (this.#answer = answer));
  }

  /** Saves, where it was opened or else where the user says, and then goes on. */
  async saveFirst(): Promise<void> {
    if (programme.sheet?.folder == null) desk.over = 'save';
    else if (await programme.change('Saving', { ask: 'save', folder: null })) this.#end(true);
  }

  allTheSame(): void {
    this.#end(true);
  }

  stay(): void {
    this.#end(false);
  }

  /** What lies over the map and the board is another sheet now: where the question is put away, it is answered by whether it was saved. */
  watch(over: string | null): void {
    if (over !== 'leave' && over !== 'save') this.#end(!unsaved());
  }

  #end(go: boolean): void {
    const answer = this.#answer;
    this.#answer = null;
    if (answer === null) return;
    if (desk.over === 'leave') desk.over = null;
    answer(go);
  }
}

export const leaving = new Leaving();
