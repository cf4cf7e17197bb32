/** One column of the gangs, and how what is typed into it is stated. */
export interface Field {
  readonly name: string;
  readonly title: string;
  readonly kind: 'words' | 'number' | 'list';
}

/** What a gang states beside its shift and its depot. */
export const FIELDS: readonly Field[] = [
  { name: 'name', title: 'Name', kind: 'words' },
  { name: 'people', title: 'People', kind: 'number' },
  { name: 'overtime_min', title: 'Overtime, min', kind: 'number' },
  { name: 'payload_kg', title: 'Payload, kg', kind: 'number' },
  { name: 'volume_m3', title: 'Body, m³', kind: 'number' },
  { name: 'tickets', title: 'Tickets held', kind: 'list' },
];

/** A member as it is shown: a list by commas. */
export function textOf(value: unknown): string {
  if (value === undefined || value === null) return '';
  if (Array.isArray(value)) return value.join(', ');
  return typeof value === 'string' ? value : JSON.stringify(value);
}

/** What was typed, as it is stated: nothing takes the member away; what is no number stays as it was typed, to be refused in words. */
export function memberFor(field: Field, typed: string): unknown {
  const text = typed.trim();
  if (field.kind === 'list') return text.split(',').map((one) => one.trim()).filter((one) => one !== '');
  if (text === '') return null;
  const number = Number(text.replaceAll(',', ''));
  return field.kind === 'number' && Number.isFinite(number) ? number : text;
}

/** A shift's begin and end. */
export function hoursOf(value: unknown): readonly [string, string] {
  return Array.isArray(value) ? [textOf(value[0]), textOf(value[1])] : ['', ''];
}
