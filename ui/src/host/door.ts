import type { Answer, FindingView, Refusal, Request, TableFormat, TableSort } from '../types/gangday';

/** What a door lets the sheet do beside asking. */
export interface Door {
  /** Which door it is, for words on the screen. */
  readonly kind: 'window' | 'loopback' | 'embedded';
  /** Whether anything can be changed through it. */
  readonly writes: boolean;
  /** Asks; throws a `Refused` where the answer is no. */
  ask(request: Request): Promise<Answer>;
  /** Lets the user choose a folder; null where they thought better of it, undefined where it must be typed. */
  chooseFolder?(): Promise<string | null>;
  /** Lets the user choose a programme file to open, or where to save as one; absent where it must be typed. */
  chooseFile?(): Promise<string | null>;
  chooseNewFile?(): Promise<string | null>;
  /** Saves a file that the desk made; where to, or null where the user thought better of it. */
  saveFile?(name: string, media: string, base64: string): string;
  /** Lets the user choose a map extract that the host reads where it lies; null where they thought better of it, undefined where it must be sent. */
  chooseExtract?(): Promise<string | null>;
  /** Lets the user choose a list of jobs or a map extract, or a picture, that the host reads where it lies; null where they thought better of it, undefined where its bytes are sent. */
  chooseList?(): Promise<string | null>;
  choosePicture?(): Promise<string | null>;
  /** Writes a table where the user chooses; where to, or null where they thought better of it. Absent where it is asked for and saved as a file. */
  saveTable?(what: TableSort, format: TableFormat): Promise<string | null>;
  /** From now on says what is dropped on the window, by path; absent where the page is given the bytes. */
  watchDrops?(told: (drop: Drop) => void): Promise<void>;
  /** Bytes of a map (PMTiles) that was dropped on the window: so many from there on, or fewer where it ends. */
  readDropped?(path: string, from: number, length: number): Promise<ArrayBuffer>;
  /** Writes the whole pack, whole or not at all; where to, or null where the user thought better of it. Absent where nothing can be written. */
  savePack?(): Promise<string | null>;
  /** Saves the client page; where to, or null where the user thought better of it. */
  saveClientPage(): Promise<string | null>;
}

/** What is held over the window, or was let go over it. */
export type Drop = { readonly is: 'over' } | { readonly is: 'away' } | { readonly is: 'here'; readonly things: readonly Thing[] };

/** One thing that was let go over the window: where it lies, and what lies there; nothing where that is no place on this machine. */
export interface Thing {
  readonly path: string;
  readonly is: 'file' | 'folder' | 'nothing';
}

/** The largest map extract that is sent to the host inside a request, in bytes: as text it takes a third more, and the page holds both. */
export const LARGEST_SENT = 100 * 1024 * 1024;

/** The largest request that the host takes on loopback, in bytes. */
export const LARGEST_BODY = 256 * 1024 * 1024;

/** The largest list that is sent to the host, in bytes: as text it takes a third more, and what was matched and put right goes with it. */
export const LARGEST_LIST = 190 * 1024 * 1024;

/** A refusal, thrown: one line and every fault. */
export class Refused extends Error {
  readonly findings: FindingView[];

  constructor(refusal: Refusal) {
    super(refusal.text);
    this.name = 'Refused';
    this.findings = refusal.findings;
  }
}

/** Whether something that came from outside has the shape of a refusal. */
export function isRefusal(value: unknown): value is Refusal {
  return (
    typeof value === 'object' &&
    value !== null &&
    'text' in value &&
    typeof value.text === 'string' &&
    'findings' in value &&
    Array.isArray(value.findings)
  );
}

/** Whatever was thrown, as a refusal that the sheet can show. */
export function refusalOf(thrown: unknown): Refusal {
  if (thrown instanceof Refused) return { text: thrown.message, findings: thrown.findings };
  if (isRefusal(thrown)) return thrown;
  const text = thrown instanceof Error ? thrown.message : String(thrown);
  return { text, findings: [] };
}
