import type { Map as MapLibre } from 'maplibre-gl';
import { gangInk, type Theme } from '../drawing/gangs';
import type { GangView } from '../types/gangday';
import { MAP_INK } from './ink';

const RATIO = 2;

/** The most gangs that get an image of their own letter. */
export const TICKS = 26;

type Pen = (canvas: CanvasRenderingContext2D, w: number, h: number) => void;

/** Draws every image that the map's style names, in both themes' inks. */
export function addImages(map: MapLibre, gangs: readonly GangView[]): void {
  for (const theme of ['light', 'dark'] as const) {
    for (const work of ['new', 'replace', 'adjust'])
      for (const position of ['verge', 'footway', 'cycle_track', 'carriageway']) {
        const put2 = (name: string, draw: Pen): void => put(map, `${name}-${theme}-${work}-${position}`, 26, 24, kindOf(draw, theme, work, position));
        for (const gang of gangs.slice(0, TICKS)) put2(`tick-${gang.index}`, tick(gang, theme));
        put2('tick--1', hollow(theme));
      }
    put(map, `stack-${theme}`, 40, 28, stack(theme));
    put(map, `depot-${theme}`, 22, 20, depot(theme));
    put(map, `tip-${theme}`, 22, 18, tip(theme));
    put(map, `way-${theme}`, 14, 10, arrow(theme));
    put(map, `halo-${theme}`, 36, 32, halo(theme));
    put(map, `band-footway-${theme}`, 8, 8, band(theme, [[0, 8, 8, 0]]));
    put(map, `band-lane-${theme}`, 6, 6, band(theme, [[0, 6, 6, 0]], 2));
    put(map, `band-road-${theme}`, 8, 8, band(theme, [[0, 8, 8, 0], [0, 0, 8, 8]], 1.6));
  }
}

function put(map: MapLibre, name: string, w: number, h: number, draw: Pen): void {
  if (map.hasImage(name)) return;
  const canvas = document.createElement('canvas');
  canvas.width = w * RATIO;
  canvas.height = h * RATIO;
  // It is read back at once: drawn in memory, that takes no round through the graphics card.
  const pen = canvas.getContext('2d', { willReadFrequently: true });
  if (pen === null) return;
  pen.scale(RATIO, RATIO);
  draw(pen, w, h);
  const image = pen.getImageData(0, 0, canvas.width, canvas.height);
  map.addImage(name, image, { pixelRatio: RATIO });
}

/** A chamber in plan, far away: a frame in the gang's colour with its letter. */
function tick(gang: GangView, theme: Theme): Pen {
  const { colour, on } = gangInk(gang.index);
  return (pen, w, h) => {
    frame(pen, w, h, colour, MAP_INK[theme].ink, []);
    pen.fillStyle = on;
    pen.font = "600 13px 'Sheet Lettering', sans-serif";
    pen.textAlign = 'center';
    pen.textBaseline = 'middle';
    pen.fillText(gang.mark, w / 2, h / 2 + 0.5);
  };
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
