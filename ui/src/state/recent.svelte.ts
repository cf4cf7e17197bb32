const KEPT = 'gangday-recent';
/** How many are remembered. */
const MOST = 8;

/** The programmes that were opened or saved last, the latest first; remembered on this machine. */
class Recent {
  paths = $state.raw<readonly string[]>(read());

  note(path: string): void {
    this.paths = [path, ...this.paths.filter((one) => one !== path)].slice(0, MOST);
    this.#keep();
  }

  forget(path: string): void {
    this.paths = this.paths.filter((one) => one !== path);
    this.#keep();
  }

  #keep(): void {
    try {
      localStorage.setItem(KEPT, JSON.stringify(this.paths));
    } catch {
      // A browser that keeps nothing still opens programmes.
    }
  }
}

function read(): string[] {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEPT) ?? '[]');
    return Array.isArray(kept) ? kept.filter((one) => typeof one === 'string').slice(0, MOST) : [];
  } catch {
    return [];
  }
}

export const recent = new Recent();
