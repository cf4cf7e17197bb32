import { programme } from './programme.svelte';

/** Metres for a degree of latitude, near enough to nudge a pin by: WGS 84, as a sphere. */
const METRES = 111_195;

/** A job's pin on its way to another place. */
class Pin {
  held = $state.raw<{ readonly id: string; readonly at: readonly [number, number] } | null>(null);

  /** Takes the pin of a job into the hand, where it stands. */
  take(id: string): void {
    const job = programme.jobs.get(id);
    if (job !== undefined && programme.writes && programme.doing === null && !programme.planning) this.held = { id, at: job.at };
  }

  carry(at: readonly [number, number]): void {
    if (this.held !== null) this.held = { id: this.held.id, at };
  }

  /** Carries it by some metres to the east and to the north. */
  nudge(east: number, north: number): void {
    if (this.held === null) return;
    const [lon, lat] = this.held.at;
    this.carry([lon + east / (METRES * Math.cos((lat * Math.PI) / 180)), lat + north / METRES]);
  }

  letGo(): void {
    this.held = null;
  }

  /** Puts it down where it is. */
  async putDown(): Promise<void> {
    const held = this.held;
    if (held === null) return;
    const [lon, lat] = held.at;
    const at: [number, number] = [Number(lon.toFixed(7)), Number(lat.toFixed(7))];
    await programme.change('Moving the pin', { ask: 'edit', edit: { do: 'move', pins: [{ id: held.id, at }] } }, `${held.id} has another place; its times may be others now. Undo takes it back.`);
    this.held = null;
  }
}

export const pin = new Pin();
