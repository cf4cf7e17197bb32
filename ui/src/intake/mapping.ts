import type { FieldView, FindingView, PreviewRow, PreviewView } from '../types/gangday';

/** How the columns of a list become jobs: what the desk calls its mapping. */
export interface Mapping {
  readonly id?: string | null;
  readonly lon?: string | null;
  readonly lat?: string | null;
  readonly easting?: string | null;
  readonly northing?: string | null;
  readonly title?: string | null;
  readonly prefix?: string;
  readonly columns: Readonly<Record<string, string>>;
  readonly words: Readonly<Record<string, Readonly<Record<string, string>>>>;
  readonly constants: Readonly<Record<string, unknown>>;
  readonly left_out: readonly string[];
}

/** What a column is that is not even kept with the job. */
export const LEFT_OUT = 'left_out';

/** What a column can be beside a property of the job. */
export const PLACES = [
  ['id', 'Id'], ['easting', 'Easting, m'], ['northing', 'Northing, m'], ['lon', 'Longitude'], ['lat', 'Latitude'], ['title', 'What people call it'],
] as const;

/** By what a row says where it is: on the grid, or in degrees. */
export const PLACED_BY = ['easting', 'northing', 'lon', 'lat'] as const;

/** Whether a row of a list says nothing that could be a place: one of its two cells is no number, or no column is taken for it. */
export function placeless(mapping: Mapping, columns: readonly string[], row: PreviewRow): boolean {
  if (row.at !== null || columns.length === 0) return false;
  const says = (name: (typeof PLACED_BY)[number]): boolean => {
    const cell = row.cells[columns.lastIndexOf(mapping[name] ?? '')]?.trim().replaceAll(',', '') ?? '';
    return cell !== '' && Number.isFinite(Number(cell));
  };
  return !(says('easting') && says('northing')) && !(says('lon') && says('lat'));
}

/** The column of a list that a finding about one of its rows is about; null where it names none that the list has. */
export function columnOf(mapping: Mapping, columns: readonly string[], finding: FindingView): string | null {
  const property = propertyOf(finding);
  const column = property === 'geometry' ? (mapping.easting ?? mapping.lon ?? '') : (mapping.columns[property] ?? property);
  return column !== '' && columns.includes(column) ? column : null;
}

/** Whether a row is at fault for where it says that it is: far off, swapped, not on the globe, or nowhere. */
export function misplaced(mapping: Mapping, finding: FindingView): boolean {
  const property = propertyOf(finding);
  return finding.severity === 'fault' && (property === 'geometry' || PLACED_BY.some((name) => property !== '' && mapping[name] === property));
}

/** The property that a finding about a row names, as its place says it: after the file and the feature, or after a job that is there; empty where it names none. */
function propertyOf({ place, job }: FindingView): string {
  const parts = place.split(', ').filter((part) => !/^line \d+/.test(part));
  return parts.length > (job === null ? 2 : 1) ? (parts.at(-1) ?? '') : '';
}

type Place = (typeof PLACES)[number][0];

const isPlace = (meaning: string): meaning is Place => PLACES.some(([name]) => name === meaning);

/** A mapping that came as plain JSON, with what it leaves out. */
export function mappingOf(raw: Readonly<Record<string, unknown>>): Mapping {
  return { ...raw, columns: (raw['columns'] ?? {}) as Mapping['columns'], words: (raw['words'] ?? {}) as Mapping['words'], constants: (raw['constants'] ?? {}) as Mapping['constants'], left_out: (raw['left_out'] ?? []) as Mapping['left_out'] };
}

/** What a column is taken for; empty where it is kept with the job and means nothing more. */
export function meaningOf(mapping: Mapping, column: string): string {
  const place = PLACES.find(([name]) => mapping[name] === column)?.[0];
  if (place === undefined && mapping.left_out.includes(column)) return LEFT_OUT;
  return place ?? Object.entries(mapping.columns).find(([, from]) => from === column)?.[0] ?? '';
}

/** The mapping with a column taken for something else; nothing is filled by two columns. */
export function mean(mapping: Mapping, column: string, meaning: string): Mapping {
  const places = Object.fromEntries(PLACES.map(([name]) => [name, mapping[name] === column ? null : (mapping[name] ?? null)]));
  const columns = Object.fromEntries(Object.entries(mapping.columns).filter(([name, from]) => from !== column && name !== meaning));
  const left_out = [...mapping.left_out.filter((other) => other !== column), ...(meaning === LEFT_OUT ? [column] : [])];
  if (isPlace(meaning)) return { ...mapping, ...places, [meaning]: column, columns, left_out };
  return { ...mapping, ...places, columns: meaning === '' || meaning === LEFT_OUT ? columns : { ...columns, [meaning]: column }, left_out };
}

/** The mapping with what stands in where the list says nothing; null takes it away. */
export function standIn(mapping: Mapping, name: string, value: unknown): Mapping {
  const constants = Object.entries(mapping.constants).filter(([other]) => other !== name);
  return { ...mapping, constants: Object.fromEntries(value === null ? constants : [...constants, [name, value]]) };
}

/** The mapping with what a foreign word means; an empty meaning takes it away. */
export function say(mapping: Mapping, property: string, word: string, meaning: string): Mapping {
  const own = Object.entries(mapping.words[property] ?? {}).filter(([other]) => other !== word);
  return { ...mapping, words: { ...mapping.words, [property]: Object.fromEntries(meaning === '' ? own : [...own, [word, meaning]]) } };
}

/** A word of the list that is none of ours, and what it is taken for. */
export interface Foreign {
  readonly field: FieldView;
  readonly word: string;
  readonly meaning: string;
}

/** The words in columns of choices that the choices don't hold, of all rows of the list. */
export function foreignWords(preview: PreviewView, mapping: Mapping, fields: readonly FieldView[]): Foreign[] {
  return preview.words.flatMap(({ property, word }) => {
    const field = fields.find((one) => one.name === property);
    return field === undefined ? [] : [{ field, word, meaning: mapping.words[property]?.[word] ?? '' }];
  });
}

/** Which rows are looked at. */
export type Which = 'all' | 'new' | 'changed' | 'same' | 'fault' | 'near';

/** The rows of one kind, of those that the desk shows. */
export function rowsOf(preview: PreviewView, which: Which): readonly PreviewRow[] {
  if (which === 'all') return preview.rows;
  return preview.rows.filter((row) => (which === 'near' ? row.near !== null : row.status === which));
}

/** How many rows of one kind the list has. */
export function countOf(preview: PreviewView, which: Which): number {
  return { all: preview.of, new: preview.fresh, changed: preview.changed, same: preview.same, fault: preview.at_fault, near: preview.near }[which];
}

/** What is said where the list has more rows of a kind than are shown; nothing where all of them are. */
export function moreWords(preview: PreviewView, which: Which): string {
  const [of, shown] = [countOf(preview, which), rowsOf(preview, which).length];
  if (shown >= of) return '';
  const some = `${shown.toLocaleString('en-GB')} of ${of.toLocaleString('en-GB')} are shown`;
  if (which === 'all') return `${some}: the first, and of each kind the first wherever they stand; all that can be are taken in`;
  if (which === 'fault') return `the first ${some}; the others are at fault too`;
  if (which === 'near') return `the first ${some}; the others count as any row`;
  return which === 'same' ? some : `${some}; the others are taken in too`;
}
