import { ask } from '../host';
import { keep, keptWords } from './kept';

const NAME = 'recent';
/** How many are remembered. */
const MOST = 8;

/** The programmes that were opened or saved last, the latest first; kept with the program. */
class Recent {
  paths = $state.raw<readonly string[]>(keptWords(NAME, MOST));
  /** Those of them that were not there when they were last looked for. */
  gone = $state.raw<ReadonlySet<string>>(new Set());

  /** Takes over what is kept. */
  recall(): void {
    this.paths = keptWords(NAME, MOST);
  }

  note(path: string): void {
    this.paths = [path, ...this.paths.filter((one) => one !== path)].slice(0, MOST);
    keep(NAME, this.paths);
  }

  forget(path: string): void {
    this.paths = this.paths.filter((one) => one !== path);
    keep(NAME, this.paths);
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
