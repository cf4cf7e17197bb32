import type { Theme } from '../drawing/gangs';

/** The map's colours: quiet ground, readable streets, loud works. */
export interface MapInk {
  readonly paper: string;
  readonly ink: string;
  readonly ink2: string;
  readonly line: string;
  readonly line2: string;
  readonly street: string;
  readonly water: string;
  readonly green: string;
  readonly act: string;
  readonly broken: string;
}

export const MAP_INK: Record<Theme, MapInk> = {
  light: {
    paper: '#f3efe4', ink: '#18212e', ink2: '#4f5966', line: '#a9a290', line2: '#cbc5b5', street: '#fffdf7',
    water: '#d8e3e6', green: '#e3e8d3', act: '#ffd94a', broken: '#a83400',
  },
  dark: {
    paper: '#0c121c', ink: '#ece7d9', ink2: '#a9b2bf', line: '#4a586e', line2: '#2c394d', street: '#1d2939',
    water: '#12263a', green: '#13231f', act: '#f2cf3f', broken: '#ff9a66',
  },
};
