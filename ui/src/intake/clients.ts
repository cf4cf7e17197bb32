const KEPT = 'gangday-clients';
/** How many are remembered. */
const MOST = 40;

/** Whose lists were taken in, the latest first; remembered on this machine. */
export function clients(): string[] {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEPT) ?? '[]');
    return Array.isArray(kept) ? kept.filter((one) => typeof one === 'string').slice(0, MOST) : [];
  } catch {
    return [];
  }
}

/** Remembers a client. */
export function noteClient(name: string): void {
  if (name.trim() === '') return;
  try {
    localStorage.setItem(KEPT, JSON.stringify([name, ...clients().filter((one) => one !== name)].slice(0, MOST)));
  } catch {
    // A browser that keeps nothing still takes lists in.
  }
}
