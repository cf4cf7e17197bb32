import { ask } from '../host';
import { again, keep, keptWords } from './kept';

const NAME = 'recent';
/** How many are remembered. */
const MOST = 8;

/** The programmes that were opened or saved last, the latest first; kept with the program. */
class Recent {
  paths = $state.raw<readonly string[]>(keptWords(NAME, MOST));
  /** Those of them that were not there when they were last looked for. */
  gone = $state.raw<ReadonlySet<string>>(new Set());

  /** One change after the other. */
  #changing: Promise<void> = Promise.resolve();

  /** Takes over what is kept. */
  recall(): void {
    this.paths = keptWords(NAME, MOST);
  }

  async note(path: string): Promise<void> {
    await this.#change((paths) => [path, ...paths.filter((one) => one !== path)].slice(0, MOST));
  }

  async forget(path: string): Promise<void> {
    await this.#change((paths) => paths.filter((one) => one !== path));
  }

  /** Changes the list as it is kept now: another window may have opened something since it was last looked at. */
  #change(to: (paths: readonly string[]) => readonly string[]): Promise<void> {
    this.paths = to(this.paths);
    this.#changing = this.#changing.then(async () => {
      await again(NAME);
      this.paths = to(keptWords(NAME, MOST));
      keep(NAME, this.paths);
    });
    return this.#changing;
  }

  /** Looks which of them are still there. */
  async look(): Promise<void> {
    const paths = [...this.paths];
    if (paths.length === 0) return;
    const answer = await ask({ ask: 'there', paths }).catch(() => null);
    if (answer?.is === 'there') this.gone = new Set(paths.filter((_, i) => answer.there[i] === false));
  }
}

export const recent = new Recent();
