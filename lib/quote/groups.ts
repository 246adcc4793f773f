import type { Asked, Group, Level, QuoteHistory } from './types';

/** The groups that jobs are taken together in, nearest first, and what numbers them. */

/** Levels that a middle can be told for. */
export const middleLevels = ['model', 'kin', 'work', 'all'] as const satisfies readonly Level[];
export type MiddleLevel = (typeof middleLevels)[number];
export const NEAREST = 0;

/** One job, asked or past, by its numbers; -1 stands for what the history does not have. */
export interface Place {
  readonly model: number;
  readonly work: number;
  readonly elements: number;
  readonly complaint: number;
  readonly branch: number;
}

/** As the history writes it: other capitals or blanks make no other complaint. */
export const sameText = (text: string | null | undefined): string => (text ?? '').trim().toLowerCase();

export function placeOfRow(history: QuoteHistory, row: number): Place {
  return {
    model: history.model[row] ?? -1,
    work: history.work[row] ?? -1,
    elements: history.elements[row] ?? -1,
    complaint: history.complaint[row] ?? -1,
    branch: history.branch[row] ?? -1,
  };
}

/** Elements of a model, by its job that came in last; -1 where there is none. */
function elementsOf(history: QuoteHistory, model: number): number {
  let [elements, last] = [-1, -Infinity];
  for (let row = 0; row < history.model.length; row += 1) {
    const day = history.received[row] ?? NaN;
    const own = history.elements[row] ?? -1;
    if (history.model[row] !== model || day < last || (day === last && own < elements)) continue;
    [elements, last] = [own, day];
  }
  return elements;
}

export function placeOfAsked(history: QuoteHistory, asked: Asked): Place {
  const model = history.names.model.indexOf(asked.model);
  const { complaint, branch } = history.names;
  const named = branch.indexOf((asked.branch ?? '').trim());
  const known = model < 0 ? -1 : elementsOf(history, model);
  return {
    model,
    work: history.names.work.indexOf(asked.work),
    elements: known > 0 ? known : (asked.elements ?? -1),
    complaint: complaint.findIndex((name) => sameText(name) === sameText(asked.complaint)),
    branch: named >= 0 ? named : branch.findIndex((name) => sameText(name) === sameText(asked.branch)),
  };
}

/** A group's number among those of its level; -1 where the job is in none. */
export function keyOf(level: MiddleLevel, { model, work, elements }: Place): number {
  if (level === 'all') return 0;
  if (work < 0) return -1;
  if (level === 'work') return work;
  const first = level === 'model' ? model : elements;
  return first < 0 ? -1 : first * 4096 + work;
}

/** The group of a place at a level, with its names. `asked` names what the history does not have. */
export function groupOf(history: QuoteHistory, level: Level, place: Place, asked?: Asked): Group {
  const withModel = level === 'model' || level === 'model and complaint';
  const name = (list: readonly string[], at: number, other: string | undefined) => list[at] ?? other ?? null;
  return {
    level,
    model: withModel ? name(history.names.model, place.model, asked?.model) : null,
    work: level === 'all' ? null : name(history.names.work, place.work, asked?.work),
    elements: level === 'kin' && place.elements > 0 ? place.elements : null,
    complaint:
      level === 'model and complaint'
        ? name(history.names.complaint, place.complaint, asked?.complaint ?? undefined)
        : null,
  };
}
