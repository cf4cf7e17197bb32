import { describe, expect, it } from 'vitest';
import { depthOf, hours, minuteAt, y } from '../src/board/depth';
import { groupsOf } from '../src/board/groups';
import { laneCount, lanesOf } from '../src/board/lanes';
import { placeLines } from '../src/board/lettering';
import { marksOf } from '../src/board/marks';
import { runsOf, sectionOf } from '../src/board/section';
import { sayingsOf } from '../src/board/sayings';
import { kept, placeLeft, shownOf } from '../src/board/window';
import { step } from '../src/board/steps';
import type { Column } from '../src/types/gangday';
import { sheet } from './fixture.mjs';

const week = sheet({ gangs: 5 });
const columns = week.plan!.columns;

/** A day in which a base is poured at A, dug at B while A cures, and A is built up while B cures. */
const day: Column = {
  ...columns[0]!,
  shift_from: 450, shift_to: 990, depart: 450, back: 800, jobs: ['A', 'B'],
  layers: [
    { kind: 'work', job: 'A', stage: 'base', stays: null, from: 480, to: 540, words: 'Pour base A' },
    { kind: 'travel', job: 'B', stage: null, stays: null, from: 540, to: 550, words: 'Drive to B' },
    { kind: 'work', job: 'B', stage: 'base', stays: null, from: 550, to: 600, words: 'Pour base B' },
    { kind: 'idle', job: null, stage: null, stays: null, from: 600, to: 610, words: 'Nothing to do' },
    { kind: 'work', job: 'A', stage: 'build', stays: null, from: 610, to: 650, words: 'Build up A' },
    { kind: 'work', job: 'A', stage: 'surface', stays: null, from: 650, to: 660, words: 'Surface A' },
  ],
  waits: [
    { job: 'A', kind: 'base_cure', from: 540, to: 605, next: 610, words: 'Base cures until 10:05' },
    { job: 'B', kind: 'base_cure', from: 600, to: 670, next: 670, words: 'Base cures until 11:10' },
  ],
};

describe('a job that is left over the night', () => {
  it('is marked after its last work before the night and before its first after it', () => {
    const depth = depthOf([day], 500);
    const nights = (column: Column): string[] => sectionOf(column, depth, 100).filter((one) => one.night !== '').map((one) => `${one.words} ${one.night}`);
    expect(nights({ ...day, left: ['A'], gone_on: ['B'] })).toEqual(['Pour base B before', 'Surface A after']);
    expect(nights(day)).toEqual([]);
  });
});

describe('depth', () => {
  it('takes in every layer and wait on whole hours', () => {
    const depth = depthOf(columns, 500);
    expect(depth.from % 60).toBe(0);
    const last = Math.max(...columns.flatMap((one) => [...one.layers, ...one.waits]).map((one) => one.to));
    expect(depth.to).toBeGreaterThanOrEqual(last);
    expect(y(depth, depth.to)).toBeCloseTo(500);
  });

  it('gives the time back that a place stands for', () => {
    const depth = depthOf(columns, 500);
    for (const minute of [480, 605, 715]) expect(minuteAt(depth, y(depth, minute))).toBe(minute);
    expect(minuteAt(depth, -50)).toBe(depth.from);
    expect(minuteAt(depth, 900)).toBe(depth.to);
  });

  it('writes each second hour where hours would crowd', () => {
    expect(hours({ from: 420, to: 1020, scale: 0.5 })).toHaveLength(11);
    expect(hours({ from: 420, to: 1020, scale: 0.2 })).toEqual([480, 600, 720, 840, 960]);
  });

  it('writes hours no nearer to one another than they are tall, however far the scale is stretched and however large the text', () => {
    for (const rem of [0.9, 1, 1.5, 3])
      for (const to of [1020, 1440, 2880, 11_520])
        for (const pixels of [120, 340, 900]) {
          const depth = { from: 420, to, scale: pixels / (to - 420) };
          const places = hours(depth, rem).map((hour) => y(depth, hour));
          const apart = places.slice(1).map((place, i) => place - places[i]!);
          expect(Math.min(Infinity, ...apart), `${rem} ${to} ${pixels}`).toBeGreaterThanOrEqual(16 * rem);
        }
  });
});

describe('lanes', () => {
  it('puts the job that starts during a wait inside the one that waits', () => {
    const lanes = lanesOf(day);
    expect(lanes.get('A')).toBe(0);
    expect(lanes.get('B')).toBe(1);
    expect(laneCount(lanes)).toBe(2);
  });

  it('frees a lane when the wait is over', () => {
    const later = { ...day, layers: day.layers.map((one) => (one.job === 'B' ? { ...one, from: one.from + 300, to: one.to + 300 } : one)), waits: [] };
    expect(lanesOf(later).get('B')).toBe(0);
  });

  it('never draws two jobs in one lane at one time', () => {
    for (const column of columns) {
      const lanes = lanesOf(column);
      const waits = column.waits.map((one) => ({ ...one, lane: lanes.get(one.job) }));
      for (const a of waits)
        for (const b of waits)
          if (a.job !== b.job && a.lane === b.lane) expect(a.from < b.to && b.from < a.to).toBe(false);
    }
  });
});

describe('section', () => {
  const depth = { from: 420, to: 1020, scale: 1 };

  it('draws each layer as thick as it lasts, less the joint', () => {
    for (const piece of sectionOf(day, depth, 80)) {
      expect(piece.y).toBeCloseTo(piece.from - 420);
      expect(piece.h).toBeCloseTo(Math.max(1, piece.to - piece.from - 1));
      expect(piece.x).toBeGreaterThanOrEqual(0);
      expect(piece.x + piece.w).toBeLessThanOrEqual(80);
    }
  });

  it('lets the inner layer leave the outer wait to be seen beside it', () => {
    const pieces = sectionOf(day, depth, 80);
    const inner = pieces.find((one) => one.fill === 'work' && one.job === 'B')!;
    const cure = pieces.find((one) => one.fill === 'cure' && one.job === 'A')!;
    expect(inner.x + inner.w).toBeLessThanOrEqual(cure.x);
    expect(cure.thread).toBeCloseTo(5);
  });

  it('writes a job once for layers that follow one another', () => {
    const pieces = sectionOf(day, depth, 80);
    const runs = runsOf(pieces).filter((height) => height > 0);
    expect(runs).toHaveLength(3);
    expect(runs[2]).toBeCloseTo(49);
  });
});

describe('lettering', () => {
  it('keeps lines apart and inside, in order', () => {
    const wanted = [0, 2, 4, 80, 95, 97].map((top) => ({ y: top, rank: 0 }));
    const places = placeLines(wanted, 10, 100) as number[];
    for (let i = 1; i < places.length; i++) expect(places[i]! - places[i - 1]!).toBeGreaterThanOrEqual(10);
    expect(Math.max(...places)).toBeLessThanOrEqual(90);
  });

  it('leaves out lesser lines before one stands far from its layer', () => {
    const wanted = [0, 1, 2, 3, 4].map((top) => ({ y: top, rank: top === 0 || top === 4 ? 0 : top }));
    const places = placeLines(wanted, 10, 200);
    expect(places[3]).toBeNull();
    expect(Math.abs(places[4]! - 4)).toBeLessThanOrEqual(22);
  });

  it('leaves out what matters least where there is no room', () => {
    const places = placeLines([{ y: 0, rank: 1 }, { y: 5, rank: 0 }, { y: 8, rank: 2 }], 10, 20);
    expect(places[2]).toBeNull();
    expect(places[0]).not.toBeNull();
    expect(places[1]).not.toBeNull();
  });
});

describe('groups', () => {
  it('has a place for every gang on every day, either way round', () => {
    const keys = (by: 'days' | 'gangs') => groupsOf(week, by, null).flatMap((group) => group.slots.map((slot) => slot.key));
    expect(keys('days')).toHaveLength(25);
    expect(keys('gangs').sort()).toEqual(keys('days').sort());
    expect(groupsOf(week, 'gangs', null).flatMap((group) => group.slots.map((slot) => slot.place))).toEqual(Array.from({ length: 25 }, (_, i) => i));
    expect(groupsOf(week, 'gangs', null)[1]!.slots.map((slot) => slot.gang.mark)).toEqual(['B', 'B', 'B', 'B', 'B']);
  });

  it('shows one day alone', () => {
    const groups = groupsOf(week, 'gangs', '2027-03-03');
    expect(groups).toHaveLength(1);
    expect(groups[0]!.slots.every((slot) => slot.date === '2027-03-03')).toBe(true);
  });
});

describe('marks', () => {
  it('shortens ids that start alike, and only those', () => {
    expect(marksOf(['J-004', 'J-014']).get('J-014')).toBe('14');
    expect(marksOf(['J-004', 'K-014']).get('K-014')).toBe('K-014');
    const mixed = [...Array.from({ length: 9 }, (_, i) => `J-00${i + 1}`), 'N1'];
    expect([marksOf(mixed).get('J-001'), marksOf(mixed).get('N1')]).toEqual(['1', 'N1']);
    expect(marksOf([...mixed.slice(0, 9), '1']).get('J-001')).toBe('J-001');
    expect(marksOf(['J-4', 'J-04']).get('J-04')).toBe('J-04');
  });

  it('tells the few ids that are longer than most by their ends, or by numbers where those are alike', () => {
    const short = Array.from({ length: 40 }, (_, i) => `J-0${i + 10}`);
    const marks = marksOf([...short, 'PRG/2027/0012345-A']);
    expect([marks.get('J-014'), marks.get('PRG/2027/0012345-A')]).toEqual(['14', '…A']);
    const alike = marksOf([...short, 'PRG/2027/0012345-A', 'PRG/2027/0012346-A']);
    expect([alike.get('PRG/2027/0012345-A'), alike.get('PRG/2027/0012346-A')]).toEqual(['#1', '#2']);
    const long = Array.from({ length: 300 }, (_, i) => `PRG/2027/${String(i + 12_000).padStart(7, '0')}-A`);
    const all = marksOf([...long, '#1', '…12-A']);
    expect(all.get('PRG/2027/0012299-A')).toBe('…299-A');
    expect(Math.max(...[...all.values()].map((mark) => mark.length))).toBe(6);
    expect(new Set(all.values()).size).toBe(302);
  });
});

describe('steps', () => {
  const stops = [[{ from: 1 }, { from: 9 }], [], [{ from: 2 }, { from: 8 }, { from: 12 }]];

  it('goes through layers and stays within them', () => {
    expect(step((i) => stops[i] ?? [], stops.length, { column: 0, piece: 1 }, 'ArrowDown')).toEqual({ column: 0, piece: 1 });
    expect(step((i) => stops[i] ?? [], stops.length, { column: 0, piece: 1 }, 'ArrowUp')).toEqual({ column: 0, piece: 0 });
    expect(step((i) => stops[i] ?? [], stops.length, { column: 2, piece: 0 }, 'End')).toEqual({ column: 2, piece: 2 });
  });

  it('goes across to what happens at that time, past empty columns', () => {
    expect(step((i) => stops[i] ?? [], stops.length, { column: 0, piece: 1 }, 'ArrowRight')).toEqual({ column: 2, piece: 1 });
    expect(step((i) => stops[i] ?? [], stops.length, { column: 0, piece: 0 }, 'ArrowLeft')).toEqual({ column: 0, piece: 0 });
  });
});

describe('a board of many gang-days', () => {
  const many = Array.from({ length: 40 }, (_, i) => ({ key: `g${i}`, name: '', mark: '', slots: Array.from({ length: 5 }, () => null as never) }));
  const spread = { width: 30, gap: 2, groupGap: 14 };

  it('draws what is in view and nothing else', () => {
    const shown = shownOf(many, spread, 1000, 1500);
    const drawn = shown.flatMap(({ before, from, to }) => Array.from({ length: to - from }, (_, i) => before + from + i));
    const expected = Array.from({ length: 200 }, (_, i) => i).filter((i) => {
      const x = placeLeft(many, spread, i);
      return x + 32 > 1000 && x < 1500;
    });
    expect(drawn).toEqual(expected);
    expect(drawn.length).toBeLessThan(20);
  });

  it('draws a small board whole', () => {
    expect(shownOf(many.slice(0, 5), spread, 5000, 6000).map(({ from, to }) => to - from)).toEqual([5, 5, 5, 5, 5]);
  });

  it('has nothing new where nothing came into view, and else in the groups where something did', () => {
    const before = shownOf(many, spread, 1000, 1500);
    expect(kept(shownOf(many, spread, 1000, 1501), before).every((one, i) => one === before[i])).toBe(true);
    const further = shownOf(many, spread, 1032, 1532);
    const others = kept(further, before).flatMap((one, i) => (one === before[i] ? [] : [i]));
    expect(others).toEqual(further.flatMap(({ from, to }, i) => (from === before[i]!.from && to === before[i]!.to ? [] : [i])));
    expect(others.length).toBeGreaterThan(0);
  });

  it('knows where each place lies', () => {
    expect([placeLeft(many, spread, 0), placeLeft(many, spread, 1), placeLeft(many, spread, 5)]).toEqual([0, 32, 172]);
  });
});

describe('sayings', () => {
  it('says work that goes on in one breath, and leaves short idling unsaid', () => {
    const pieces = sectionOf(day, { from: 420, to: 1020, scale: 1 }, 80).sort((a, b) => a.from - b.from);
    const brief = pieces.map((piece) => (piece.fill === 'idle' ? { ...piece, to: piece.from + 5 } : piece));
    expect(sayingsOf(brief).map((one) => one.words)).toEqual([
      'Pour base A', 'Base cures until 10:05', 'Pour base B', 'Base cures until 11:10', 'Build up, surface A',
    ]);
  });
});
