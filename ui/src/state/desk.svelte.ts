import type { Theme } from '../drawing/gangs';

const KEPT = 'gangday-desk';

/** The sizes of text to choose from, and which of them is plain. */
const TEXT = [0.9, 1, 1.15, 1.3, 1.5] as const;
const PLAIN = 1;

/** What can be folded away. */
export type Fold = 'board' | 'notes' | 'wrong' | 'take' | 'street' | 'mind' | 'stated';

interface Kept {
  theme: Theme | null;
  folded: Fold[];
  boardShare: number;
  /** Which step of the text sizes; 0 is the plain one. */
  text: number;
}

/** How the user keeps the desk: theme, what is folded, how tall the board is. Remembered on this machine. */
class Desk {
  #chosen = $state<Theme | null>(null);
  #system = $state<Theme>('light');
  #folded = $state<Fold[]>([]);
  /** The share of the window's height that the board takes. */
  boardShare = $state(0.56);
  /** How many pixels stand for one at the plain text size: 1, or 2 on a 4K screen. */
  rem = $state(1);
  /** How many dots of the screen stand for one of its pixels. */
  ratio = $state(1);
  /** Which sheet lies over everything: the keys, a folder to open or to save in, how a job is worked out, or none. */
  over = $state<'keys' | 'open' | 'save' | 'worked' | 'plans' | 'intake' | 'history' | 'gang' | 'figures' | 'row' | 'gangs' | 'tables' | null>(null);

  /** How much larger than plain the user wants the text, in steps. */
  text = $state(0);

  /** The field that is to be put right next, where a finding led there: of a job, or of all that are selected. */
  mending = $state.raw<{ readonly job: string | null; readonly property: string } | null>(null);

  readonly theme = $derived<Theme>(this.#chosen ?? this.#system);

  constructor() {
    const kept = read();
    this.#chosen = kept.theme;
    this.#folded = kept.folded;
    this.boardShare = kept.boardShare;
    this.text = kept.text;
    const dark = globalThis.matchMedia?.('(prefers-color-scheme: dark)');
    if (dark === undefined) return;
    this.#system = dark.matches ? 'dark' : 'light';
    dark.addEventListener('change', (event) => (this.#system = event.matches ? 'dark' : 'light'));
  }

  folded(what: Fold): boolean {
    return this.#folded.includes(what);
  }

  fold(what: Fold, folded = !this.folded(what)): void {
    const rest = this.#folded.filter((one) => one !== what);
    this.#folded = folded ? [...rest, what] : rest;
    this.#keep();
  }

  /** Takes the measure of the text again, after the window has changed. */
  measure(): void {
    const size = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
    this.rem = size > 0 ? size / 16 : 1;
    this.ratio = globalThis.devicePixelRatio || 1;
  }

  /** How many times as large as plain the text is. */
  get zoom(): number {
    return TEXT[this.text + PLAIN] ?? 1;
  }

  /** Takes the text one step up or down. */
  setText(way: 1 | -1): void {
    this.text = Math.min(TEXT.length - 1 - PLAIN, Math.max(-PLAIN, this.text + way));
    this.#keep();
  }

  /** Leads to a field of a job. */
  mend(job: string, property: string): void {
    this.fold('notes', false);
    this.fold('stated', false);
    this.mending = { job, property };
  }

  switchTheme(): void {
    this.#chosen = this.theme === 'light' ? 'dark' : 'light';
    this.#keep();
  }

  setBoardShare(share: number): void {
    this.boardShare = Math.min(0.85, Math.max(0.25, share));
    this.#keep();
  }

  #keep(): void {
    const kept: Kept = { theme: this.#chosen, folded: this.#folded, boardShare: this.boardShare, text: this.text };
    try {
      localStorage.setItem(KEPT, JSON.stringify(kept));
    } catch {
      // A browser that keeps nothing is no reason to stop: the desk is as it was when it next opens.
    }
  }
}

function read(): Kept {
  const plain: Kept = { theme: null, folded: ['street', 'mind', 'stated'], boardShare: 0.55, text: 0 };
  try {
    const kept = JSON.parse(localStorage.getItem(KEPT) ?? '{}') as Partial<Kept>;
    return { ...plain, ...kept };
  } catch {
    return plain;
  }
}

export const desk = new Desk();
