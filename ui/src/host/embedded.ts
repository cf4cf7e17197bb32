import { coded } from '../codes';
import type { Sheet } from '../types/gangday';
import { Refused, type Door } from './door';

export const SHEET_ELEMENT = 'gangday-sheet';

/** A sheet that travels inside the page: it can be read and nothing else. */
export function embeddedDoor(text: string): Door {
  const sheet = JSON.parse(text) as Sheet;
  return {
    kind: 'embedded',
    writes: false,
    ask: async (request) => {
      if (request.ask === 'sheet') return { is: 'sheet', sheet };
      throw new Refused(coded('D-OPEN', 'This page is a copy for reading: nothing can be changed in it.'));
    },
    saveClientPage: async () => null,
  };
}
