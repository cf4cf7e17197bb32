import type { Map as MapLibre } from 'maplibre-gl';
import { gangInk, type Theme } from '../drawing/gangs';
import { MAP_INK } from './ink';

const RATIO = 2;

type Pen = (canvas: CanvasRenderingContext2D, w: number, h: number) => void;

/** An image to be drawn: its size in pixels of the plain screen, and how. */
interface Drawing {
  readonly w: number;
  readonly h: number;
  readonly draw: Pen;
}

/** Draws an image that the map's style names when the map first wants it, and never the hundreds that nothing on it shows; `mark` gives a gang's letters by its place. */
export function drawWhenWanted(map: MapLibre, mark: (gang: number) => string): void {
  map.setMissingStyleImageResolver((name) => {
    const drawing = drawingOf(name, mark);
    const image = drawing === null || map.hasImage(name) ? null : pixelsOf(drawing);
    if (image !== null) map.addImage(name, image, { pixelRatio: RATIO });
  });
}

/** What a name stands for: `tick-GANG-THEME-WORK-POSITION`, with `-done` or `-stands` after it where it is done or stands as issued, or `SIGN-THEME`; null where the style has no such image. */
export function drawingOf(name: string, mark: (gang: number) => string): Drawing | null {
  const [, gang, theme, work, position, state] = /^tick-(-?\d+)-(light|dark)-([a-z]+)-([a-z_]+)(-done|-stands)?$/.exec(name) ?? [];
  if (isTheme(theme) && work !== undefined && position !== undefined) {
    const index = Number(gang);
    const free = state === '-done' ? closed : state === '-stands' ? standing : hollow;
    const draw = index < 0 ? free(theme) : tick(index, mark(index), theme, state === '-done');
    return { w: 26, h: 24, draw: kindOf(draw, theme, work, position) };
  }
  const [, sign, of] = /^([a-z-]+)-(light|dark)$/.exec(name) ?? [];
  const drawn = SIGNS.get(sign ?? '');
  return drawn === undefined || !isTheme(of) ? null : { w: drawn[0], h: drawn[1], draw: drawn[2](of) };
}

function isTheme(word: string | undefined): word is Theme {
  return word === 'light' || word === 'dark';
}

/** Every image but the chambers: width, height and pen. */
const SIGNS: ReadonlyMap<string, readonly [number, number, (theme: Theme) => Pen]> = new Map([
  ['stack', [40, 28, stack]],
  ['depot', [22, 20, depot]],
  ['tip', [22, 18, tip]],
  ['way', [14, 10, arrow]],
  ['halo', [36, 32, halo]],
  ['band-footway', [8, 8, (theme) => band(theme, [[0, 8, 8, 0]])]],
  ['band-lane', [6, 6, (theme) => band(theme, [[0, 6, 6, 0]], 2)]],
  ['band-road', [8, 8, (theme) => band(theme, [[0, 8, 8, 0], [0, 0, 8, 8]], 1.6)]],
]);

function pixelsOf({ w, h, draw }: Drawing): ImageData | null {
  const canvas = document.createElement('canvas');
  canvas.width = w * RATIO;
  canvas.height = h * RATIO;
  // It is read back at once: drawn in memory, that takes no round through the graphics card.
  const pen = canvas.getContext('2d', { willReadFrequently: true });
  if (pen === null) return null;
  pen.scale(RATIO, RATIO);
  draw(pen, w, h);
  return pen.getImageData(0, 0, canvas.width, canvas.height);
}

/** A chamber in plan, far away: a frame in the gang's colour with its letters. */
function tick(gang: number, letters: string, theme: Theme, done: boolean): Pen {
  const { colour, on } = gangInk(gang);
  return (pen, w, h) => {
    frame(pen, w, h, colour, MAP_INK[theme].ink, []);
    pen.fillStyle = on;
    pen.font = `600 ${letters.length < 2 ? 13 : letters.length < 3 ? 11 : 9}px 'Sheet Lettering', sans-serif`;
    pen.textAlign = 'center';
    pen.textBaseline = 'middle';
    pen.fillText(letters, w / 2 - (done ? 3.5 : 0), h / 2 + 0.5, w - (done ? 12 : 5));
    if (done) ticked(pen, w - 10, 2, 8, h - 4, theme);
  };
}

/** A job that was done before the week, in no route: the frame closed, and ticked. */
function closed(theme: Theme): Pen {
  return (pen, w, h) => {
    frame(pen, w, h, MAP_INK[theme].paper, MAP_INK[theme].ink, []);
    ticked(pen, 5, 2, w - 10, h - 4, theme);
  };
}

/** A job that stands as it was issued in an earlier week, in no route of this one: the frame closed as a sheet is, a corner folded and written on. */
function standing(theme: Theme): Pen {
  return (pen, w, h) => {
    const { paper, ink } = MAP_INK[theme];
    frame(pen, w, h, paper, ink, []);
    pen.lineWidth = 1.2;
    strokes(pen, [[w - 8, 2, w - 8, 7.5, w - 2, 7.5], [5, 6.5, w - 11, 6.5], [5, 11, w - 5, 11]]);
  };
}

/** The tick of what is done, on paper within a box. */
function ticked(pen: CanvasRenderingContext2D, x: number, y: number, w: number, h: number, theme: Theme): void {
  const { paper, ink } = MAP_INK[theme];
  pen.fillStyle = paper;
  pen.fillRect(x, y, w, h);
  pen.strokeStyle = ink;
  pen.lineWidth = 1.8;
  strokes(pen, [[x + w * 0.15, y + h * 0.55, x + w * 0.42, y + h * 0.82, x + w * 0.88, y + h * 0.18]]);
}

/** What kind of work it is, and where it lies in the street: seen in plan, round the frame itself. */
function kindOf(draw: Pen, theme: Theme, work: string, position: string): Pen {
  return (pen, w, h) => {
    const ink = MAP_INK[theme].ink;
    pen.save();
    pen.translate(2, 1);
    draw(pen, w - 4, h - 6);
    pen.restore();
    pen.strokeStyle = ink;
    pen.lineWidth = 1.2;
    // A second frame round one that is dug out and built anew; corners lifted where only the ironwork is.
    if (work === 'replace') pen.strokeRect(1.6, 0.8, w - 3.2, h - 5.6);
    if (work === 'adjust') strokes(pen, [[1, 5, 1, 1, 5, 1], [w - 5, 1, w - 1, 1, w - 1, 5]]);
    street(pen, position, w, h - 2, MAP_INK[theme].paper);
  };
}

/** The ground that it lies in, as a line below: two for the carriageway, one for the footway, dashes for a cycle track, blades for a verge. */
function street(pen: CanvasRenderingContext2D, position: string, w: number, y: number, paper: string): void {
  pen.save();
  const line: number[][] = position === 'verge' ? [[3, y + 1, 6, y - 2, 9, y + 1, 13, y - 2, 17, y + 1, 20, y - 2, w - 3, y + 1]] : position === 'carriageway' ? [[3, y - 1, w - 3, y - 1], [3, y + 1.4, w - 3, y + 1.4]] : [[3, y, w - 3, y]];
  const ink = pen.strokeStyle;
  pen.strokeStyle = paper;
  pen.lineWidth = 4;
  strokes(pen, line);
  pen.strokeStyle = ink;
  pen.lineWidth = 1.3;
  if (position === 'cycle_track') pen.setLineDash([3, 2]);
  strokes(pen, line);
  pen.restore();
}

function strokes(pen: CanvasRenderingContext2D, lines: readonly (readonly number[])[]): void {
  for (const line of lines) {
    pen.beginPath();
    for (let i = 0; i < line.length; i += 2) pen.lineTo(line[i] ?? 0, line[i + 1] ?? 0);
    pen.stroke();
  }
}

/** Several chambers that lie too close to be drawn one by one: frames behind a frame, and how many. */
function stack(theme: Theme): Pen {
  return (pen, w, h) => {
    const { paper, ink } = MAP_INK[theme];
    for (const shift of [6, 3, 0]) {
      pen.fillStyle = paper;
      pen.fillRect(1 + shift, 7 - shift, w - 8, h - 8);
      pen.strokeStyle = ink;
      pen.lineWidth = shift === 0 ? 1.6 : 1;
      pen.strokeRect(1 + shift, 7 - shift, w - 8, h - 8);
    }
  };
}

/** A job in no route: the same frame, hollow and broken. */
function hollow(theme: Theme): Pen {
  return (pen, w, h) => frame(pen, w, h, MAP_INK[theme].paper, MAP_INK[theme].ink, [2.5, 1.5]);
}

function frame(pen: CanvasRenderingContext2D, w: number, h: number, fill: string, ink: string, dash: number[]): void {
  pen.fillStyle = fill;
  pen.fillRect(2, 2, w - 4, h - 4);
  pen.strokeStyle = ink;
  pen.lineWidth = 1.5;
  pen.setLineDash(dash);
  pen.strokeRect(2, 2, w - 4, h - 4);
}

/** A yard in plan: an open-fronted shed. */
function depot(theme: Theme): Pen {
  return (pen, w, h) => {
    pen.fillStyle = MAP_INK[theme].ink;
    pen.beginPath();
    pen.moveTo(2, h - 2);
    pen.lineTo(2, 7);
    pen.lineTo(w / 2, 2);
    pen.lineTo(w - 2, 7);
    pen.lineTo(w - 2, h - 2);
    pen.lineTo(w - 6, h - 2);
    pen.lineTo(w - 6, 10);
    pen.lineTo(6, 10);
    pen.lineTo(6, h - 2);
    pen.fill();
  };
}

/** A tip: a heap. */
function tip(theme: Theme): Pen {
  return (pen, w, h) => {
    pen.strokeStyle = MAP_INK[theme].ink;
    pen.fillStyle = MAP_INK[theme].paper;
    pen.lineWidth = 1.6;
    pen.beginPath();
    pen.moveTo(1, h - 2);
    pen.lineTo(w / 2, 3);
    pen.lineTo(w - 1, h - 2);
    pen.closePath();
    pen.fill();
    pen.stroke();
    pen.beginPath();
    for (const x of [7, 11, 15]) {
      pen.moveTo(x, h - 3);
      pen.lineTo(x, h - 6 - (4 - Math.abs(11 - x)));
    }
    pen.stroke();
  };
}

function arrow(theme: Theme): Pen {
  return (pen, w, h) => {
    pen.strokeStyle = MAP_INK[theme].ink2;
    pen.lineWidth = 1.2;
    pen.beginPath();
    pen.moveTo(1, h / 2);
    pen.lineTo(w - 1, h / 2);
    pen.moveTo(w - 5, h / 2 - 3);
    pen.lineTo(w - 1, h / 2);
    pen.lineTo(w - 5, h / 2 + 3);
    pen.stroke();
  };
}

function halo(theme: Theme): Pen {
  return (pen, w, h) => {
    pen.strokeStyle = MAP_INK[theme].act;
    pen.lineWidth = 6;
    pen.strokeRect(4, 4, w - 8, h - 8);
    pen.strokeStyle = MAP_INK[theme].ink;
    pen.lineWidth = 1.5;
    pen.strokeRect(1, 1, w - 2, h - 2);
  };
}

function band(theme: Theme, lines: readonly (readonly [number, number, number, number])[], weight = 1.3): Pen {
  return (pen, w, h) => {
    pen.fillStyle = MAP_INK[theme].act;
    pen.globalAlpha = 0.55;
    pen.fillRect(0, 0, w, h);
    pen.globalAlpha = 1;
    pen.strokeStyle = MAP_INK[theme].ink;
    pen.lineWidth = weight;
    for (const shift of [-w, 0, w])
      for (const [x1, y1, x2, y2] of lines) {
        pen.beginPath();
        pen.moveTo(x1 + shift, y1);
        pen.lineTo(x2 + shift, y2);
        pen.stroke();
      }
  };
}
