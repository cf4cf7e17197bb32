import { Channel, invoke } from '@tauri-apps/api/core';
import type { Answer } from '../types/gangday';
import { isRefusal, Refused, type Door, type Drop } from './door';

/** The desktop window: its commands reject with a refusal. */
export function windowDoor(): Door {
  return {
    kind: 'window',
    writes: true,
    ask: (request) => call<Answer>('call', { request }),
    chooseFolder: () => call<string | null>('choose_folder'),
    chooseFile: () => call<string | null>('choose_file'),
    chooseNewFile: () => call<string | null>('choose_new_file'),
    chooseExtract: () => call<string | null>('choose_extract'),
    chooseList: () => call<string | null>('choose_import'),
    choosePicture: () => call<string | null>('choose_picture'),
    saveTable: (what, format) => call<string | null>('save_table', { what, format }),
    watchDrops: (told) => {
      const channel = new Channel<Drop>();
      channel.onmessage = told;
      return call<void>('watch_drops', { channel });
    },
    readDropped: (path, from, length) => call<ArrayBuffer>('read_dropped', { path, from, length }),
    savePack: () => call<string | null>('save_pack'),
    saveClientPage: () => call<string | null>('save_client_page'),
  };
}

async function call<T>(command: string, args?: Record<string, unknown>): Promise<T> {
  try {
    return await invoke<T>(command, args);
  } catch (thrown) {
    if (isRefusal(thrown)) throw new Refused(thrown);
    throw thrown;
  }
}
