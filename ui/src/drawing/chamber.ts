import type { LevelsView } from '../types/gangday';

/** One part of the cross-section, mm, depths down from the surface, across from the middle. */
export interface Part {
  readonly what: 'surfacing' | 'surround' | 'type1' | 'base' | 'section' | 'ironwork' | 'bedding';
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** The parts of a chamber cut across the street, in the order in which they are drawn. */
export function partsOf(levels: LevelsView): Part[] {
  const dig = levels.dig_width / 2;
  const out = levels.outside_width / 2;
  const iron = levels.ironwork_width / 2;
  return [
    ...both('surfacing', iron, dig, 0, levels.surfacing_bottom),
    ...both('surround', Math.min(out, iron), dig, levels.surfacing_bottom, levels.type1_top),
    ...both('type1', out, dig, levels.type1_top, levels.base_top),
    { what: 'base' as const, left: -dig, right: dig, top: levels.base_top, bottom: levels.formation },
    ...sections(levels, out),
    ...both('bedding', out - levels.wall, out, levels.ironwork_bottom, levels.sections_top),
    ...both('ironwork', Math.max(0, iron - levels.wall), iron, 0, levels.ironwork_bottom),
  ].filter((part) => part.bottom > part.top && part.right > part.left);
}

/** The levels to write beside it, each once, from the surface down. */
export function dimensionsOf(levels: LevelsView): number[] {
  const all = [levels.surfacing_bottom, levels.ironwork_bottom, levels.type1_top, levels.base_top, levels.formation];
  return [...new Set(all.map(Math.round))].filter((depth) => depth > 0).sort((a, b) => a - b);
}

function sections(levels: LevelsView, out: number): Part[] {
  const each = (levels.sections_bottom - levels.sections_top) / Math.max(1, levels.sections);
  return Array.from({ length: levels.sections }, (_, i) => levels.sections_top + i * each).flatMap((top) =>
    both('section', out - levels.wall, out, top, top + each),
  );
}

function both(what: Part['what'], inner: number, outer: number, top: number, bottom: number): Part[] {
  return [
    { what, left: -outer, right: -inner, top, bottom },
    { what, left: inner, right: outer, top, bottom },
  ];
}
