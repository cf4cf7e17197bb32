import type { Refusal } from '../types/gangday';

/** What is dropped on the page: held over it, being taken in, refused. */
class Drops {
  /** Whether something is held over the page. */
  held = $state(false);
  /** Whether what was let go is still being taken in. */
  taking = $state(false);
  /** Why nothing came of a drop while a sheet lay over everything, to be said on that sheet. */
  refused = $state.raw<Refusal | null>(null);
}

export const drops = new Drops();
