/** Red, green and blue, 0 to 255. */
export type Rgb = readonly [number, number, number];

/** `#0072b2` as its parts. */
export function rgb(hex: string): Rgb {
  const n = Number.parseInt(hex.slice(1), 16);
  return [(n >> 16) & 255, (n >> 8) & 255, n & 255];
}

/** Its parts as `#0072b2`. */
export function hex([r, g, b]: Rgb): string {
  return `#${[r, g, b].map((c) => Math.round(c).toString(16).padStart(2, '0')).join('')}`;
}

/** A colour laid over another, `share` of it showing. */
export function over(top: string, ground: string, share: number): string {
  const a = rgb(top);
  const b = rgb(ground);
  const at = (i: 0 | 1 | 2): number => b[i] + (a[i] - b[i]) * share;
  return hex([at(0), at(1), at(2)]);
}

/**
 * Contrast of two colours, 1 to 21.
 *
 * Source: W3C, Web Content Accessibility Guidelines 2.2, "contrast ratio" and "relative luminance".
 */
export function contrast(one: string, other: string): number {
  const [light, dark] = [luminance(one), luminance(other)].sort((a, b) => b - a) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

/** Of the two inks the one that reads better on a ground. */
export function inkOn(ground: string): string {
  // Pure black and white: of no other two inks is one always 4.5 : 1 or better.
  const inks = ['#000000', '#ffffff'] as const;
  return contrast(inks[0], ground) >= contrast(inks[1], ground) ? inks[0] : inks[1];
}

function luminance(colour: string): number {
  const [r, g, b] = rgb(colour).map((c) => linear(c / 255)) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function linear(c: number): number {
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
}
