import { describe, expect, it } from 'vitest';
import { inWords, layOut } from '../src/drawing/crossSection';
import { contrast, inkOn, over } from '../src/drawing/colour';
import { gangInk, INK, layerInk, PAPER, type Theme } from '../src/drawing/gangs';
import { tracePath } from '../src/panels/trace';
import { clock, count, lasting, span, weekOf } from '../src/words';
import { detail } from './fixture.mjs';

const THEMES: Theme[] = ['light', 'dark'];

describe('colour', () => {
  // W3C, Understanding WCAG 2.2, success criterion 1.4.3: black on white is 21:1, #777777 on white 4.48:1.
  it('reckons contrast as the guidelines do', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
    expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.48, 2);
  });

  it('mixes by share', () => {
    expect(over('#000000', '#ffffff', 0)).toBe('#ffffff');
    expect(over('#000000', '#ffffff', 1)).toBe('#000000');
  });

  it('writes legibly on every layer of every gang in both themes', () => {
    for (const theme of THEMES)
      for (let gang = 0; gang < 8; gang++)
        for (let lane = 0; lane < 3; lane++) {
          const { fill, on } = layerInk(gang, lane, PAPER[theme]);
          expect(contrast(fill, on)).toBeGreaterThanOrEqual(4.5);
        }
    for (const theme of THEMES) expect(contrast(INK[theme], PAPER[theme])).toBeGreaterThanOrEqual(7);
    expect(inkOn('#ffffff')).not.toBe('#ffffff');
  });

  it('gives no two of twelve gangs the same colour and band', () => {
    const seen = Array.from({ length: 12 }, (_, i) => `${gangInk(i).colour} ${gangInk(i).band}`);
    expect(new Set(seen).size).toBe(12);
  });
});

describe('cross-section', () => {
  const { section } = detail();

  it('draws every dimension as long as it is at one scale for both directions', () => {
    for (const names of [0, 92]) {
      const plan = layOut(section, names > 0 ? 430 : 272, 190, names);
      const of = (one: { mm: string }): number => Number(one.mm) * plan.scale;
      for (const one of plan.across) expect(one.x2 - one.x1).toBeCloseTo(of(one), 6);
      for (const one of plan.down) expect(one.y2 - one.y1).toBeCloseTo(of(one), 6);
      expect(plan.bar.px).toBeCloseTo(plan.bar.mm * plan.scale, 6);
    }
  });

  it('keeps every figure on the sheet and off the others of its lane', () => {
    const plan = layOut(section, 272, 190);
    for (const one of [...plan.across, ...plan.down]) {
      const [from, to] = one.anchor === 'end' ? [one.tx - 26, one.tx] : one.anchor === 'start' ? [one.tx, one.tx + 26] : [one.tx - 13, one.tx + 13];
      expect(from).toBeGreaterThanOrEqual(0);
      expect(to).toBeLessThanOrEqual(272);
      expect(one.ty).toBeGreaterThan(9);
      expect(one.ty).toBeLessThan(plan.height);
    }
    const left = plan.down.filter((one) => one.anchor === 'end');
    for (const one of left)
      for (const other of left)
        if (one !== other && one.tx === other.tx) expect(Math.abs(one.ty - other.ty)).toBeGreaterThanOrEqual(12);
  });

  it('tells everything measured to who can’t see it', () => {
    for (const one of [...section.across, ...section.down]) expect(inWords(section)).toContain(`${one.name} ${one.mm} mm`);
  });
});

describe('trace', () => {
  it('falls as the cost falls, from edge to edge', () => {
    expect(tracePath([300, 200, 100], 100, 50)).toBe('M0 0.0H50.0V25.0H100.0V50.0');
    expect(tracePath([300], 100, 50)).toBe('');
  });
});

describe('words', () => {
  it('writes times and spans as a site does', () => {
    expect(clock(605)).toBe('10:05');
    expect(clock(1470)).toBe('00:30');
    expect([clock(1439, '2027-03-01'), clock(1440, '2027-03-01'), clock(2129, '2027-03-01')]).toEqual(['23:59', 'Tue 00:00', 'Tue 11:29']);
    expect(span(1380, 1590, '2027-03-05')).toBe('23:00–Sat 02:30');
    expect(lasting(125)).toBe('2 h 5 min');
    expect(lasting(120)).toBe('2 h');
    expect(count(1, 'job')).toBe('1 job');
    expect(count(1200, 'job')).toBe('1,200 jobs');
    expect(weekOf('2027-03-01', '2027-03-05')).toBe('1–5 Mar 2027');
    expect(weekOf('2027-03-29', '2027-04-02')).toBe('29 Mar – 2 Apr 2027');
    expect(weekOf('2026-12-28', '2027-01-01')).toBe('28 Dec 2026 – 1 Jan 2027');
  });
});
