import { rgb } from './colour';

/** How colours are seen: in full, or with one sort of cone missing. */
export type Vision = 'full' | 'protan' | 'deutan' | 'tritan';

type Row = readonly [number, number, number];

/**
 * Linear RGB as it is seen with one sort of cone missing.
 *
 * Source: G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, A Physiologically-based Model for Simulation of Color Vision Deficiency, 2009, severity 1.0.
 */
const MISSING: Record<Exclude<Vision, 'full'>, readonly [Row, Row, Row]> = {
  protan: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
  deutan: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
  tritan: [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
};

/** How far apart two colours are seen: the distance in CIE 1976 L*a*b* (D65), where 2.3 is a difference that can just be noticed. */
export function apart(one: string, other: string, vision: Vision): number {
  const [a, b] = [lab(seen(one, vision)), lab(seen(other, vision))];
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

/** A colour as linear RGB, 0 to 1, as it is seen. */
export function seen(hex: string, vision: Vision): Row {
  const [r, g, b] = rgb(hex);
  const plain: Row = [linear(r / 255), linear(g / 255), linear(b / 255)];
  if (vision === 'full') return plain;
  const [x, y, z] = MISSING[vision];
  return [clip(dot(x, plain)), clip(dot(y, plain)), clip(dot(z, plain))];
}

/** L*a*b* of linear sRGB. Source: IEC 61966-2-1 (matrix to XYZ) and CIE 15. */
function lab(colour: Row): Row {
  const x = f(dot([0.4124, 0.3576, 0.1805], colour) / 0.95047);
  const y = f(dot([0.2126, 0.7152, 0.0722], colour));
  const z = f(dot([0.0193, 0.1192, 0.9505], colour) / 1.08883);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

const f = (t: number): number => (t > 216 / 24_389 ? Math.cbrt(t) : (24_389 / 27 * t + 16) / 116);
const dot = (a: Row, b: Row): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const clip = (c: number): number => Math.min(1, Math.max(0, c));
const linear = (c: number): number => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
