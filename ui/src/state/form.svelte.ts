import { ask, refusalOf } from '../host';
import type { FieldView, Refusal, Request } from '../types/gangday';
import { programme } from './programme.svelte';

type Value = string | number | null;

/** The fields of a job as they are stated, to be corrected one by one. */
class Form {
  fields = $state.raw<readonly FieldView[]>([]);
  stated = $state.raw<Readonly<Record<string, unknown>> | null>(null);
  refusal = $state.raw<Refusal | null>(null);
  #asked = '';

  /** Reads what a job states; the same job of the same sheet is read once. */
  async read(job: string, edition: number): Promise<void> {
    const asked = `${job} ${edition}`;
    if (asked === this.#asked) return;
    this.#asked = asked;
    try {
      if (this.fields.length === 0) {
        const answer = await ask({ ask: 'fields' });
        if (answer.is === 'fields') this.fields = answer.fields.filter((field) => field.kind !== 'texts' && field.kind !== 'hours');
      }
      const answer = await ask({ ask: 'stated', jobs: [job] });
      if (answer.is === 'stated' && asked === this.#asked) this.stated = answer.jobs[0]?.properties ?? {};
    } catch (thrown) {
      this.refusal = refusalOf(thrown);
    }
  }

  /** Puts a value in a field, or takes it away; a refusal stays with the form. */
  async put(job: string, name: string, value: Value): Promise<boolean> {
    const request: Request = { ask: 'edit', edit: { do: 'set', jobs: [job], properties: { [name]: value } } };
    const fine = await programme.change('Changing the job', request, `${job}: ${name.replaceAll('_', ' ')} changed.`);
    this.refusal = programme.refusal;
    programme.refusal = null;
    return fine;
  }
}

/** A field's text as the value that it stands for; undefined where it is none. */
export function valueOf(kind: string, typed: string): Value | undefined {
  const text = typed.trim();
  if (text === '') return null;
  if (kind !== 'mm' && kind !== 'count') return text;
  return /^\d+$/.test(text) ? Number(text) : undefined;
}

export const form = new Form();
