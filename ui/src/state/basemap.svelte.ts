import { coded } from '../codes';
import { programme } from './programme.svelte';

/** A map file on this machine, of which a piece is read when it is drawn. */
export interface MapFile {
  readonly name: string;
  /** Bytes of it: so many from there on, or fewer where it ends. */
  read(from: number, length: number): Promise<ArrayBuffer>;
}

/** A basemap from a PMTiles file on this machine: it is read where it lies, and nothing is asked of anybody. */
class Basemap {
  file = $state.raw<MapFile | null>(null);
  readonly name = $derived(this.file?.name ?? null);
  /** Who is to be named for it, as the file itself says; empty where it names nobody. */
  attribution = $state('');

  take(file: MapFile): void {
    this.file = file;
    this.attribution = '';
  }

  /** One that the page holds. */
  takeFile(file: File): void {
    this.take({ name: file.name, read: (from, length) => file.slice(from, from + length).arrayBuffer() });
  }

  clear(): void {
    this.file = null;
  }

  /** Lets go of a file that is no map, and says so. */
  refuse(why: string): void {
    const name = this.name ?? 'The file';
    this.file = null;
    programme.refusal = coded('F-KIND', `${name} is no map that can be laid under the works: ${why} Choose a PMTiles file, version 3, with vector or picture tiles.`);
  }
}

export const basemap = new Basemap();
