import { ask, door } from '../host';

/**
 * What the page keeps with the program, for every programme and every start: the theme, what is folded, what was opened last.
 * The host keeps it, since a page on loopback is another origin at each start; only where there is no host to write to is it the browser.
 */
const PREFIX = 'gangday-';

let byHost: Record<string, unknown> | null = null;
/** What the host is still to be told, by name; the latest value counts. */
const due = new Set<string>();
let telling = false;

/** Asks the host what is kept; to be done before anything reads it. */
export async function recall(): Promise<void> {
  if (!door().writes) return;
  const answer = await ask({ ask: 'settings' }).catch(() => null);
  byHost = answer?.is === 'settings' ? { ...answer.values } : null;
}

/** Asks the host again for one thing, which another window may have changed since; what is still to be told stays as it is here. */
export async function again(name: string): Promise<void> {
  if (byHost === null || telling || due.has(name)) return;
  const answer = await ask({ ask: 'settings' }).catch(() => null);
  if (answer?.is === 'settings' && name in answer.values && !telling && !due.has(name)) byHost[name] = answer.values[name];
}

/** What is kept under a name; undefined where nothing is. */
export function kept(name: string): unknown {
  if (byHost !== null && name in byHost) return byHost[name];
  try {
    return JSON.parse(localStorage.getItem(PREFIX + name) ?? 'null') ?? undefined;
  } catch {
    return undefined;
  }
}

/** Keeps something under a name. */
export function keep(name: string, value: unknown): void {
  if (byHost === null) {
    try {
      localStorage.setItem(PREFIX + name, JSON.stringify(value));
    } catch {
      // A browser that keeps nothing is no reason to stop.
    }
    return;
  }
  byHost[name] = value;
  due.add(name);
  void tell();
}

/** A page that goes says at once what it has not yet said. */
globalThis.addEventListener?.('pagehide', () => {
  for (const name of due) {
    due.delete(name);
    void say(name);
  }
});

/** Names that are kept as a list of words, at most so many. */
export function keptWords(name: string, most: number): string[] {
  const all = kept(name);
  return Array.isArray(all) ? all.filter((one): one is string => typeof one === 'string').slice(0, most) : [];
}

/** Tells the host one thing after the other, so that what was kept last is what stays. */
async function tell(): Promise<void> {
  if (telling) return;
  telling = true;
  for (const name of due) {
    due.delete(name);
    await say(name);
  }
  telling = false;
}

/** What can't be kept is no reason to stop: the desk is then as it was when it next opens. */
async function say(name: string): Promise<void> {
  await ask({ ask: 'keep_setting', name, value: byHost?.[name] ?? null }).catch(() => undefined);
}
