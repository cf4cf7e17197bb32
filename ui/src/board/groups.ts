import type { BoardDay, Column, GangView, Sheet } from '../types/gangday';

/** One place on the board: a gang on a day, with what it does, if it does anything. */
export interface Slot {
  readonly gang: GangView;
  readonly date: string;
  readonly key: string;
  /** Whether nothing is planned on the day any more. */
  readonly past: boolean;
  /** Which one it is, from the left. */
  readonly place: number;
  readonly column: Column | null;
}

/** Places that stand together under one heading. */
export interface Group {
  readonly key: string;
  readonly name: string;
  /** The gang's mark where the group is a gang, else empty. */
  readonly mark: string;
  readonly slots: readonly Slot[];
}

/** The board's groups: days with gangs in them, or gangs with days in them; one day where only that is shown. */
export function groupsOf(sheet: Sheet, by: 'days' | 'gangs', only: string | null): Group[] {
  const columns = new Map((sheet.plan?.columns ?? []).map((column) => [column.key, column]));
  const days = sheet.days.filter((day) => only === null || day.date === only);
  const shown = days.filter((day) => only !== null || day.working || has(sheet, day.date));
  let place = 0;
  const slot = (gang: GangView, { date, past }: BoardDay): Slot => {
    const key = `${gang.id}@${date}`;
    return { gang, date, key, past, place: place++, column: columns.get(key) ?? null };
  };
  if (by === 'gangs' && only === null)
    return sheet.gangs.map((gang) => ({ key: gang.id, name: gang.name, mark: gang.mark, slots: shown.map((day) => slot(gang, day)) }));
  return shown.map((day) => ({ key: day.date, name: day.name, mark: '', slots: sheet.gangs.map((gang) => slot(gang, day)) }));
}

function has(sheet: Sheet, date: string): boolean {
  return sheet.plan?.columns.some((column) => column.date === date) ?? false;
}
