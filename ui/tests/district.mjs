/** An invented district for tests of the drawing alone: a main road, side streets, cul-de-sacs, a river. */

const WEST = -2.236;
const SOUTH = 53.402;
const M_LAT = 1 / 111_320;
const M_LON = 1 / (111_320 * Math.cos((SOUTH * Math.PI) / 180));

/** Metres east and north of the corner as longitude and latitude. @returns {[number, number]} */
export const at = (/** @type {number} */ x, /** @type {number} */ y) => [
  Number((WEST + x * M_LON).toFixed(7)),
  Number((SOUTH + y * M_LAT).toFixed(7)),
];

/** A bent line through points given in metres. @returns {[number, number][]} */
const bent = (/** @type {[number, number][]} */ points) => {
  /** @type {[number, number][]} */
  const line = [];
  for (let i = 0; i < points.length - 1; i++) {
    const p = [points[i - 1] ?? points[i], points[i], points[i + 1], points[i + 2] ?? points[i + 1]];
    for (let t = 0; t < 1; t += 0.125) line.push(at(knot(p, 0, t), knot(p, 1, t)));
  }
  const last = /** @type {[number, number]} */ (points.at(-1));
  line.push(at(...last));
  return line;
};

/** Catmull-Rom between the middle two of four points. */
const knot = (/** @type {any} */ p, /** @type {number} */ i, /** @type {number} */ t) =>
  0.5 * (2 * p[1][i] + (p[2][i] - p[0][i]) * t + (2 * p[0][i] - 5 * p[1][i] + 4 * p[2][i] - p[3][i]) * t * t +
    (3 * p[1][i] - p[0][i] - 3 * p[2][i] + p[3][i]) * t * t * t);

/** @type {[string, number, number, boolean, [number, number][]][]} */
const STREETS = [
  ['Wharf Road', 1, 9.5, false, [[0, 620], [420, 700], [900, 660], [1400, 760], [1900, 740], [2400, 820]]],
  ['Ropewalk', 2, 7.3, false, [[880, 0], [900, 320], [900, 660], [860, 1000], [900, 1400]]],
  ['Tanyard Lane', 3, 6.2, false, [[420, 700], [380, 1000], [460, 1380]]],
  ['Hopkiln Street', 4, 5.5, true, [[380, 1000], [620, 1040], [860, 1000]]],
  ['Hopkiln Row', 4, 5.5, true, [[872, 860], [640, 880], [400, 860]]],
  ['Sallow Close', 4, 4.8, false, [[1180, 712], [1190, 900], [1290, 960]]],
  ['Brickfield Avenue', 3, 6.7, false, [[1400, 760], [1420, 1060], [1360, 1400]]],
  ['Linnet Way', 4, 5.5, false, [[1420, 1060], [1650, 1090], [1880, 1060], [1900, 740]]],
  ['Weir Street', 3, 6.5, false, [[1900, 740], [1920, 420], [1840, 60]]],
  ['Millrace', 4, 5.0, false, [[1920, 420], [1640, 400], [1480, 300]]],
  ['Chandler Street', 4, 5.5, false, [[900, 320], [1180, 300], [1480, 300], [1440, 60]]],
  ['Osier Lane', 4, 4.5, false, [[900, 320], [600, 300], [380, 180], [100, 200]]],
  ['Staithe Hill', 3, 6.0, false, [[2400, 820], [2380, 1100], [2200, 1380]]],
  ['Teasel Close', 4, 4.8, false, [[2380, 1100], [2180, 1120], [2100, 1060]]],
  ['Quarry Bank', 4, 5.5, false, [[460, 1380], [900, 1400], [1360, 1400], [2200, 1380]]],
];

export const streets = STREETS.map(([name, road_type, width_m, one_way, points], i) => ({
  id: `S-${String(i + 1).padStart(3, '0')}`, name, road_type, width_m, one_way, lines: [bent(points)],
}));

export const area = /** @type {[number, number, number, number]} */ ([...at(0, 0), ...at(2450, 1450)]);

const ring = (/** @type {[number, number][]} */ points) => [...points, points[0]];
const river = [...bent([[0, 480], [500, 540], [1000, 500], [1500, 580], [2000, 560], [2450, 640]]),
  ...bent([[2450, 600], [2000, 510], [1500, 530], [1000, 450], [500, 490], [0, 430]])];

export const backdrop = JSON.stringify({
  type: 'FeatureCollection',
  features: [
    { type: 'Feature', properties: { kind: 'water' }, geometry: { type: 'Polygon', coordinates: [ring(river)] } },
    { type: 'Feature', properties: { kind: 'green' }, geometry: { type: 'Polygon', coordinates: [ring([at(980, 880), at(1150, 900), at(1160, 1300), at(960, 1320)])] } },
    { type: 'Feature', properties: { kind: 'green' }, geometry: { type: 'Polygon', coordinates: [ring([at(1000, 60), at(1380, 90), at(1400, 260), at(1000, 270)])] } },
  ],
});

/** A point so far along a street, so many metres to its left. @returns {[number, number]} */
export const beside = (/** @type {number} */ street, /** @type {number} */ share, /** @type {number} */ left) => {
  const line = streets[street % streets.length].lines[0];
  const i = Math.min(line.length - 2, Math.floor(share * (line.length - 1)));
  const [a, b] = [line[i], line[i + 1]];
  const dx = (b[0] - a[0]) / M_LON;
  const dy = (b[1] - a[1]) / M_LAT;
  const len = Math.hypot(dx, dy) || 1;
  return [a[0] + (-dy / len) * left * M_LON, a[1] + (dx / len) * left * M_LAT];
};

/** A rectangle along a street round a point, metres. @returns {[number, number][]} */
export const plan = (/** @type {number} */ street, /** @type {number} */ share, /** @type {[number, number]} */ c, /** @type {number} */ long, /** @type {number} */ wide) => {
  const line = streets[street % streets.length].lines[0];
  const i = Math.min(line.length - 2, Math.floor(share * (line.length - 1)));
  const dx = (line[i + 1][0] - line[i][0]) / M_LON;
  const dy = (line[i + 1][1] - line[i][1]) / M_LAT;
  const len = Math.hypot(dx, dy) || 1;
  const [ux, uy] = [dx / len, dy / len];
  const corner = (/** @type {number} */ s, /** @type {number} */ t) =>
    /** @type {[number, number]} */ ([c[0] + (ux * s * long - uy * t * wide) * 0.5 * M_LON, c[1] + (uy * s * long + ux * t * wide) * 0.5 * M_LAT]);
  return ring([corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)]);
};
