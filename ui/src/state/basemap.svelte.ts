import { programme } from './programme.svelte';

/** A basemap from a PMTiles file on this machine: it is read where it lies, and nothing is asked of anybody. */
class Basemap {
  file = $state.raw<File | null>(null);
  readonly name = $derived(this.file?.name ?? null);
  /** Who is to be named for it, as the file itself says; empty where it names nobody. */
  attribution = $state('');

  take(file: File): void {
    this.file = file;
    this.attribution = '';
  }

  clear(): void {
    this.file = null;
  }

  /** Lets go of a file that is no map, and says so. */
  refuse(why: string): void {
    const name = this.name ?? 'The file';
    this.file = null;
    programme.refusal = { text: `${name} is no map that can be laid under the works: ${why} Choose a PMTiles file, version 3, with vector or picture tiles.`, findings: [] };
  }
}

export const basemap = new Basemap();
