import { useDoor, type Door } from '../src/host';
import { programme } from '../src/state/programme.svelte';
import type { Answer, Request, Sheet } from '../src/types/gangday';

/** What a desk answers; an answer of which a test needs a part only is cast. */
export type Answers = (request: Request) => Answer | Promise<Answer>;

/** Opens a sheet behind the door of a window, with nothing under way and nothing refused. What is asked from then on is kept, in order. */
export function openBehindDoor(week: Sheet, answers: Answers, more: Partial<Door> = {}): Request[] {
  const asked: Request[] = [];
  programme.sheet = week;
  programme.doing = null;
  programme.refusal = null;
  useDoor({
    kind: 'window',
    writes: true,
    saveClientPage: async () => null,
    ask: async (request) => {
      asked.push(request);
      return answers(request);
    },
    ...more,
  });
  return asked;
}
