/** A place on the ground, degrees: longitude, latitude. */
export type Place = readonly [number, number];

/** Where on the ground the user looks: the map says so, whoever puts something down asks. */
export const eye: { middle: () => Place | null; over: Place | null } = { middle: () => null, over: null };

/** Under the pointer where it is over the map, else the middle of what is seen of it. */
export function looking(): Place | null {
  return eye.over ?? eye.middle();
}

/** Metres for a degree of latitude, near enough to nudge by: WGS 84, as a sphere. */
const METRES = 111_195;

/** A place some metres to the east and to the north. */
export function nudged([lon, lat]: Place, east: number, north: number): Place {
  return [lon + east / (METRES * Math.cos((lat * Math.PI) / 180)), lat + north / METRES];
}

/** A place to about a centimetre, as it is stated. */
export function stated([lon, lat]: Place): [number, number] {
  return [Number(lon.toFixed(7)), Number(lat.toFixed(7))];
}
