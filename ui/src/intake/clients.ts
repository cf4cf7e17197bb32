import { keep, keptWords } from '../state/kept';

const NAME = 'clients';
/** How many are remembered. */
const MOST = 40;

/** Whose lists were taken in, the latest first; kept with the program. */
export function clients(): string[] {
  return keptWords(NAME, MOST);
}

/** Remembers a client. */
export function noteClient(name: string): void {
  if (name.trim() === '') return;
  keep(NAME, [name, ...clients().filter((one) => one !== name)].slice(0, MOST));
}
