/** What was typed into fields and refused, by the field: it is kept there until it is put right. */
export class Typed {
  #wrong = $state.raw<Readonly<Record<string, string>>>({});

  /** What a field says: what was refused in it, else what stands there. */
  shown(name: string, stands: string): string {
    return this.#wrong[name] ?? stands;
  }

  isWrong(name: string): boolean {
    return this.#wrong[name] !== undefined;
  }

  /** Takes what was typed: what is shown already is no news, what stands there takes back what was refused, all else is sent. */
  async put(name: string, typed: string, stands: string, how: { readonly send: () => Promise<boolean>; readonly back: () => void }): Promise<void> {
    if (typed === this.shown(name, stands)) return;
    if (typed === stands) how.back();
    const fine = typed === stands || (await how.send());
    const { [name]: _, ...rest } = this.#wrong;
    this.#wrong = fine ? rest : { ...rest, [name]: typed };
  }

  forget(): void {
    this.#wrong = {};
  }
}
