import { beforeEach, describe, expect, it, vi } from 'vitest';
import { COMMANDS } from '../src/commands';
import { press } from '../src/keys';
import { desk } from '../src/state/desk.svelte';
import { hand } from '../src/state/hand.svelte';
import { recall } from '../src/state/kept';
import { pin } from '../src/state/pin.svelte';
import { recent } from '../src/state/recent.svelte';
import { keyShortcut } from '../src/words';
import type { Request } from '../src/types/gangday';
import { openBehindDoor } from './door';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 2 });
const job = week.jobs.find((one) => one.route != null)!;

/** Presses a key where something has the focus; whether it was taken. */
function pressed(key: string, on: HTMLElement = document.body): boolean {
  const event = new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true });
  on.addEventListener('keydown', press, { once: true });
  on.dispatchEvent(event);
  return event.defaultPrevented;
}

beforeEach(() => {
  desk.over = null;
  desk.setLetters(true);
  hand.letGo();
  pin.letGo();
  openBehindDoor(week, () => ({ is: 'sheet', sheet: week }));
});

describe('what lies over the sheet', () => {
  it('has Enter, arrows and Tab for itself while a job is in hand', () => {
    hand.takeJob(job.id);
    const step = vi.spyOn(hand, 'step').mockImplementation(() => undefined);
    const putDown = vi.spyOn(hand, 'putDown').mockResolvedValue(false);
    expect([pressed('ArrowRight'), pressed('Enter')]).toEqual([true, true]);
    expect([step.mock.calls.length, putDown.mock.calls.length]).toEqual([1, 1]);
    desk.over = 'keys';
    expect([pressed('ArrowRight'), pressed('Enter')]).toEqual([false, false]);
    desk.over = null;
    const field = document.body.appendChild(document.createElement('input'));
    expect([pressed('ArrowRight', field), pressed('Enter', field)]).toEqual([false, false]);
    expect([step.mock.calls.length, putDown.mock.calls.length]).toEqual([1, 1]);
    expect(hand.job).toBe(job.id);
    field.remove();
    vi.restoreAllMocks();
  });

  it('has them while a pin is in hand too, and Escape puts it away first', () => {
    pin.take(job.id);
    const held = pin.held;
    desk.over = 'keys';
    expect([pressed('ArrowUp'), pressed('Enter')]).toEqual([false, false]);
    expect(pin.held).toEqual(held);
    pressed('Escape');
    expect([desk.over, pin.held?.id]).toEqual([null, job.id]);
    pressed('Escape');
    expect(pin.held).toBeNull();
  });
});

describe('letters by themselves', () => {
  it('do nothing where they are turned off; chords and Escape still do', () => {
    desk.setLetters(false);
    for (const key of ['?', 'v', 't', '1', '+']) expect(pressed(key), key).toBe(false);
    expect(desk.over).toBeNull();
    const save = vi.spyOn(COMMANDS.find((one) => one.key === 's')!, 'run').mockImplementation(() => undefined);
    const chord = new KeyboardEvent('keydown', { key: 's', ctrlKey: true, bubbles: true, cancelable: true });
    document.body.addEventListener('keydown', press, { once: true });
    document.body.dispatchEvent(chord);
    expect(save).toHaveBeenCalledOnce();
    desk.over = 'keys';
    pressed('Escape');
    expect(desk.over).toBeNull();
    desk.setLetters(true);
    expect(pressed('?')).toBe(true);
    expect(desk.over).toBe('keys');
    vi.restoreAllMocks();
  });
});

it('a key is told to a screen reader by its name in WAI-ARIA', () => {
  expect(['p', 'H', '+', '?'].map(keyShortcut)).toEqual(['p', 'Shift+H', 'Plus', '?']);
});

it('what another window has opened since stays in the list of recent programmes', async () => {
  let kept: unknown = ['/weeks/ours.gpkg'];
  const answers = (request: Request): never => {
    if (request.ask === 'settings') return { is: 'settings', values: { recent: kept } } as never;
    if (request.ask === 'keep_setting') kept = request.value;
    return { is: 'kept' } as never;
  };
  openBehindDoor(week, answers);
  await recall();
  recent.recall();
  kept = ['/weeks/theirs.gpkg', '/weeks/ours.gpkg'];
  await recent.note('/weeks/new.gpkg');
  await vi.waitFor(() => expect(kept).toEqual(['/weeks/new.gpkg', '/weeks/theirs.gpkg', '/weeks/ours.gpkg']));
  expect(recent.paths).toEqual(kept);
  await recent.forget('/weeks/theirs.gpkg');
  await vi.waitFor(() => expect(kept).toEqual(['/weeks/new.gpkg', '/weeks/ours.gpkg']));
});
