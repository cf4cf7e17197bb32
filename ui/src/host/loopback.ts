import { coded } from '../codes';
import type { Answer, Request } from '../types/gangday';
import { isRefusal, LARGEST_BODY, Refused, type Door } from './door';

const KEPT = 'gangday-token';
const tooMuch = (): Refused => refused('F-LARGE', `That is more than a page can send to Gangday at once: ${LARGEST_BODY / 1024 / 1024} MB. Nothing was changed.`);
const refused = (code: string, text: string): Refused => new Refused(coded(code, text));

/** The loopback address: one POST with a token that came with the page's own address. */
export function loopbackDoor(page: Location = location): Door {
  const token = takeToken(page);
  return {
    kind: 'loopback',
    writes: true,
    ask: (request) => post(request, token),
    saveFile,
    savePack: async () => {
      const answer = await post({ ask: 'pack' }, token);
      return answer.is === 'file' ? saveFile(answer.name, answer.media, answer.base64) : null;
    },
    saveClientPage: async () => {
      const answer = await post({ ask: 'client_page' }, token);
      if (answer.is !== 'page') return null;
      save(answer.name, new Blob([answer.html], { type: 'text/html' }));
      return answer.name;
    },
  };
}

function saveFile(name: string, media: string, base64: string): string {
  save(name, new Blob([Uint8Array.from(atob(base64), (one) => one.charCodeAt(0))], { type: media }));
  return name;
}

/** The token, kept for this tab only and taken out of the address bar. */
function takeToken(page: Location): string {
  const url = new URL(page.href);
  const fresh = url.searchParams.get('token');
  if (fresh !== null) {
    sessionStorage.setItem(KEPT, fresh);
    url.searchParams.delete('token');
    history.replaceState(null, '', url);
  }
  return fresh ?? sessionStorage.getItem(KEPT) ?? '';
}

async function post(request: Request, token: string): Promise<Answer> {
  const sent = JSON.stringify(request);
  if (sent.length > LARGEST_BODY) throw tooMuch();
  const reply = await fetch('/call', {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', Authorization: `Bearer ${token}` },
    body: sent,
    // It gets there although the page is put away meanwhile.
    keepalive: request.ask === 'keep_setting',
  }).catch(() => {
    throw refused('D-GONE', 'Gangday no longer answers. Start it again, then open the address that it prints.');
  });
  const body: unknown = await reply.json().catch(() => null);
  if (isRefusal(body)) throw new Refused(body);
  if (reply.ok) return body as Answer;
  if (reply.status === 401 || reply.status === 403)
    throw refused('D-KEY', 'This page has no key to Gangday. Open the whole address that it prints, with its token.');
  if (reply.status === 413) throw tooMuch();
  throw refused('D-FAULT', `Gangday answered with ${reply.status} and no reason.`);
}

function save(name: string, blob: Blob): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
