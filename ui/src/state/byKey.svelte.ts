/** A value that is told of when it changes. */
class Cell<T> {
  value = $state.raw<T | undefined>();

  constructor(value: T | undefined) {
    this.value = value;
  }
}

/** Values by their keys; whoever reads one is told when that one changes, and of no other. */
export class ByKey<T> {
  #cells = new Map<string, Cell<T>>();
  #all: ReadonlyMap<string, T> = new Map();

  /** The value of a key; undefined where it has none. */
  of(key: string): T | undefined {
    return (this.#cells.get(key) ?? this.#fresh(key)).value;
  }

  /** Takes other values for those it has. */
  become(all: ReadonlyMap<string, T>): void {
    const keys = new Set([...this.#all.keys(), ...all.keys()]);
    this.#all = all;
    for (const key of keys) {
      const cell = this.#cells.get(key);
      if (cell !== undefined) cell.value = all.get(key);
    }
  }

  /** A cell that belongs to nobody: what is made by whoever reads it would not be followed by them. */
  #fresh(key: string): Cell<T> {
    let cell: Cell<T> | undefined;
    $effect.root(() => void (cell = new Cell(this.#all.get(key))))();
    this.#cells.set(key, cell!);
    return cell!;
  }
}
