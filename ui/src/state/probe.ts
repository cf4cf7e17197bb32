/** What a test may look at from outside; nothing in the program reads it. */
export interface Probe {
  ready: boolean;
  edition: number | null;
  selection: unknown;
  mapIdle: boolean;
  map: unknown;
}

export const probe: Probe = { ready: false, edition: null, selection: null, mapIdle: false, map: null };

declare global {
  interface Window {
    __gangday?: Probe;
  }
}

window.__gangday = probe;
