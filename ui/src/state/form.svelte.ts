import { ask, refusalOf } from '../host';
import type { FieldView, Refusal, Stated } from '../types/gangday';
import { count } from '../words';
import { programme } from './programme.svelte';
import { selection } from './selection.svelte';

/** What several jobs don't state alike. */
export const MIXED = Symbol('mixed');

/** Properties like any other, of which the desk need not know: what people call a job, or its address, and notes. */
const MORE: readonly FieldView[] = [
  { name: 'title', label: 'What people call it', kind: 'text', choices: [] },
  { name: 'notes', label: 'Notes', kind: 'long', choices: [] },
];

/** What jobs state, one or several at once, to be put right field by field. */
class Form {
  fields = $state.raw<readonly FieldView[]>([]);
  /** Those of them that mean something to the desk: what a column of a list can be. */
  readonly meant = $derived(this.fields.filter((field) => !MORE.some((one) => one.name === field.name)));
  stated = $state.raw<readonly Stated[]>([]);
  refusal = $state.raw<Refusal | null>(null);
  #asked = '';

  /** Learns which fields jobs have, once. */
  async learn(): Promise<void> {
    if (this.fields.length > 0) return;
    const answer = await ask({ ask: 'fields' });
    if (answer.is === 'fields') this.fields = [...answer.fields.filter((field) => !MORE.some((one) => one.name === field.name)), ...MORE];
  }

  /** Reads what jobs state; the same jobs of the same sheet are read once. */
  async read(jobs: readonly string[], edition: number): Promise<void> {
    const asked = `${edition} ${jobs.join('\n')}`;
    if (asked === this.#asked) return;
    this.#asked = asked;
    this.refusal = null;
    try {
      await this.learn();
      const answer = await ask({ ask: 'stated', jobs: [...jobs] });
      if (answer.is === 'stated' && asked === this.#asked) this.stated = answer.jobs;
    } catch (thrown) {
      this.refusal = refusalOf(thrown);
    }
  }

  /** What the jobs state in a field: undefined for nothing, `MIXED` where they differ. */
  value(name: string): unknown {
    const [first, ...rest] = this.stated.map((one) => one.properties[name]);
    const same = JSON.stringify(first ?? null);
    return rest.every((one) => JSON.stringify(one ?? null) === same) ? (first ?? undefined) : MIXED;
  }

  /** Puts a value in a field of all of them, or takes it away; a refusal stays with the form. */
  async put(jobs: readonly string[], name: string, value: unknown): Promise<boolean> {
    const label = this.fields.find((field) => field.name === name)?.label ?? name.replaceAll('_', ' ');
    const who = jobs.length === 1 ? jobs[0] : count(jobs.length, 'job');
    return this.#edit(() =>
      programme.edit('Changing what is stated', { ask: 'edit', edit: { do: 'set', jobs: [...jobs], properties: { [name]: value } } }, `${who}: ${label.toLowerCase()} changed. Undo takes it back.`));
  }

  /** Gives a job another id. */
  async rename(job: string, to: string): Promise<boolean> {
    const fine = await this.#edit(() => programme.edit('Giving it another id', { ask: 'edit', edit: { do: 'rename', job, to } }, `${job} is ${to} now. Undo takes it back.`));
    if (fine) selection.pickJob(to);
    return fine;
  }

  async #edit(make: () => Promise<readonly string[] | null>): Promise<boolean> {
    const fine = (await make()) !== null;
    this.refusal = programme.refusal;
    programme.refusal = null;
    return fine;
  }
}

export const form = new Form();
