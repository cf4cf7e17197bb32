import type { Answer, Request } from '../types/gangday';
import type { Door } from './door';
import { embeddedDoor, SHEET_ELEMENT } from './embedded';
import { loopbackDoor } from './loopback';
import { windowDoor } from './window';

export { LARGEST_LIST, LARGEST_SENT, Refused, refusalOf, type Door, type Drop, type Thing } from './door';

let opened: Door | undefined;

/** The one door behind which the programme lives; which one depends on where the page runs. */
export function door(): Door {
  opened ??= find();
  return opened;
}

/** Asks the host. */
export function ask(request: Request): Promise<Answer> {
  return door().ask(request);
}

/** Puts another door in place; for tests. */
export function useDoor(other: Door): void {
  opened = other;
}

function find(): Door {
  const embedded = document.getElementById(SHEET_ELEMENT)?.textContent;
  if (embedded) return embeddedDoor(embedded);
  if ('__TAURI_INTERNALS__' in window) return windowDoor();
  return loopbackDoor();
}
