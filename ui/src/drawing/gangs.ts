import { inkOn, over } from './colour';

export type Theme = 'light' | 'dark';

/** How one gang is drawn everywhere: a colour, and a second mark that does without it. */
export interface GangInk {
  readonly colour: string;
  /** The ink that reads on it. */
  readonly on: string;
  /** Dashes of its way on the map, in line widths; empty for an unbroken line. */
  readonly dash: readonly number[];
  /** Its band in headings. */
  readonly band: GangBand;
}

export type GangBand = 'plain' | 'leaning' | 'upright' | 'crossed' | 'dotted' | 'level';

/**
 * Colours that people with any colour vision can tell apart. Vermilion is left out: it means a broken rule.
 *
 * Source: M. Okabe and K. Ito, Color Universal Design, 2008 (the set's own values).
 */
const COLOURS = ['#0072b2', '#e69f00', '#009e73', '#cc79a7', '#56b4e9', '#f0e442'] as const;

const DASHES: readonly (readonly number[])[] = [[], [5, 2], [1.2, 1.6], [7, 2, 1.2, 2], [3, 3], [10, 3]];

const BANDS: readonly GangBand[] = ['plain', 'leaning', 'dotted', 'crossed', 'upright', 'level'];

/** What the first job's layer and the ones inside its waits are filled with, strongest first. */
const SHARES = [1, 0.66, 0.4] as const;

/** How many gangs go by before colour and dashes come round again. */
export const INKS = COLOURS.length;

/** The ink of the gang at this place in the list. */
export function gangInk(index: number): GangInk {
  const colour = COLOURS[index % COLOURS.length] ?? COLOURS[0];
  return {
    colour,
    on: inkOn(colour),
    dash: DASHES[index % DASHES.length] ?? [],
    // A seventh gang has the first one's colour, but neither its letter nor its band.
    band: BANDS[(index + Math.floor(index / COLOURS.length)) % BANDS.length] ?? 'plain',
  };
}

/** The gang's colour for a job in this lane, on this paper, and the ink that reads on it. */
export function layerInk(index: number, lane: number, paper: string): LayerInk {
  const key = `${index % COLOURS.length} ${lane % SHARES.length} ${paper}`;
  const known = mixed.get(key);
  if (known !== undefined) return known;
  const fill = over(gangInk(index).colour, paper, SHARES[lane % SHARES.length] ?? 1);
  const ink = { fill, on: inkOn(fill) };
  mixed.set(key, ink);
  return ink;
}

/** What a layer is filled with, and the ink that reads on it. */
export interface LayerInk {
  readonly fill: string;
  readonly on: string;
}

/** The inks that were mixed: there are few, and every layer of a board asks for one. */
const mixed = new Map<string, LayerInk>();

/** The paper of each theme, for the drawing that CSS can't reach. */
export const PAPER: Record<Theme, string> = { light: '#f8f5ed', dark: '#0e1520' };
export const INK: Record<Theme, string> = { light: '#18212e', dark: '#ece7d9' };
