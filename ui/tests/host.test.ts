import { afterEach, describe, expect, it, vi } from 'vitest';
import { Refused, refusalOf } from '../src/host/door';
import { embeddedDoor } from '../src/host/embedded';
import { loopbackDoor } from '../src/host/loopback';
import { sheet } from './fixture.mjs';

const reply = (status: number, body: unknown) => new Response(JSON.stringify(body), { status });

afterEach(() => {
  vi.unstubAllGlobals();
  sessionStorage.clear();
  history.replaceState(null, '', '/');
});

describe('loopback', () => {
  it('takes the token out of the address and sends it with each question', async () => {
    history.replaceState(null, '', '/?token=abc');
    const fetched = vi.fn(async (_address: string, _init: RequestInit) => reply(200, { is: 'sheet', sheet: null }));
    vi.stubGlobal('fetch', fetched);
    const answer = await loopbackDoor().ask({ ask: 'sheet' });
    expect(answer).toEqual({ is: 'sheet', sheet: null });
    expect(location.search).toBe('');
    const [address, init] = fetched.mock.calls[0]!;
    expect(address).toBe('/call');
    expect(init.headers).toMatchObject({ Authorization: 'Bearer abc' });
    expect(JSON.parse(String(init.body))).toEqual({ ask: 'sheet' });
  });

  it('keeps the token for the same tab after a reload', async () => {
    history.replaceState(null, '', '/?token=abc');
    loopbackDoor();
    const fetched = vi.fn(async (_address: string, _init: RequestInit) => reply(200, { is: 'sheet', sheet: null }));
    vi.stubGlobal('fetch', fetched);
    await loopbackDoor().ask({ ask: 'sheet' });
    expect(fetched.mock.calls[0]![1].headers).toMatchObject({ Authorization: 'Bearer abc' });
  });

  it('throws a refusal with its findings, also where it answers a question', async () => {
    for (const status of [422, 200]) {
      vi.stubGlobal('fetch', async () => reply(status, { text: 'No.', findings: sheet({}).findings }));
      const thrown = await loopbackDoor().ask({ ask: 'redo' }).catch((error: unknown) => error);
      expect(thrown).toBeInstanceOf(Refused);
      expect(refusalOf(thrown)).toMatchObject({ text: 'No.', findings: [{ code: 'J-SIZE' }, { code: 'W-COLD' }, { code: 'J-STREET' }] });
    }
  });

  it('says what to do when nothing answers, or the key is missing', async () => {
    vi.stubGlobal('fetch', async () => Promise.reject(new TypeError('failed')));
    await expect(loopbackDoor().ask({ ask: 'sheet' })).rejects.toThrow(/Start it again/);
    vi.stubGlobal('fetch', async () => new Response('', { status: 401 }));
    await expect(loopbackDoor().ask({ ask: 'sheet' })).rejects.toThrow(/token/);
  });

  it('says that it was too much where more is sent than is taken', async () => {
    vi.stubGlobal('fetch', async () => new Response('', { status: 413 }));
    await expect(loopbackDoor().ask({ ask: 'sheet' })).rejects.toThrow(/more than a page can send to Gangday at once: 256 MB\. Nothing was changed/);
  });
});

describe('embedded', () => {
  it('shows its sheet and refuses the rest', async () => {
    const door = embeddedDoor(JSON.stringify(sheet({})));
    expect(door.writes).toBe(false);
    await expect(door.ask({ ask: 'sheet' })).resolves.toMatchObject({ is: 'sheet', sheet: { nation: 'England' } });
    await expect(door.ask({ ask: 'undo' })).rejects.toThrow(/nothing can be changed/);
  });
});
