import { programme } from './programme.svelte';
import type { FindingView } from '../types/gangday';

/** What opening has to tell before anything is worked on: it was damaged, what of it is lost, it may not be written to. */
const CODES: readonly string[] = ['F-DAMAGED', 'F-READONLY', 'F-LOST'];

/** What is to be known of the programme that was opened; said until somebody has put it away. */
class Opening {
  #put = $state.raw<string | null>(null);

  readonly findings = $derived(CODES.flatMap((code) => (programme.sheet?.findings ?? []).filter((one) => one.code === code)));
  /** All of it, to know it by. */
  readonly told = $derived(this.findings.map((one) => `${one.code} ${one.text}`).join('\n'));
  readonly shown = $derived(this.findings.length > 0 && this.told !== this.#put);
  /** In a word or two, for the title block. */
  readonly state = $derived(this.findings.some((one) => one.code === 'F-READONLY') ? 'Can only be read' : this.findings.some((one) => one.code === 'F-DAMAGED') ? 'Rescued copy' : '');

  has(finding: FindingView): boolean {
    return CODES.includes(finding.code);
  }

  putAway(): void {
    this.#put = this.told;
  }

  /** Another programme was opened, or the same again. */
  anew(): void {
    this.#put = null;
  }
}

export const opening = new Opening();
