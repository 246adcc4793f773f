import { groupOf, keyOf, placeOfRow, type Place } from './groups';
import type { Prepared } from './prepare';
import { FEWEST_FOR_RATE, LIKE_HOURS } from './settings';
import type { Asked, Group, Level } from './types';

/** Past jobs that are counted together for a rate or a share: from the nearest group that has enough of them. */

export interface Alike {
  readonly group: Group;
  /** Rows that were let in, in the order in which they were finished. */
  readonly rows: readonly number[];
  /** Whether it is not the nearest group that was asked for. */
  readonly borrowed: boolean;
  readonly likeHours: boolean;
}

interface Step {
  readonly level: Level;
  readonly likeHours: boolean;
}

function isIn(prepared: Prepared, row: number, level: Level, place: Place): boolean {
  const own = placeOfRow(prepared.history, row);
  const key = level === 'model and complaint' ? 'model' : level;
  if (keyOf(key, place) < 0 || keyOf(key, own) !== keyOf(key, place)) return false;
  return level !== 'model and complaint' || own.complaint === place.complaint;
}

const areLike = (one: number, other: number): boolean =>
  Math.max(one, other) <= LIKE_HOURS * Math.min(one, other) * (1 + 1e-12);

/** Groups to try, nearest first. Jobs of other work say nothing of this one, unless the history has none of this work. */
function steps(place: Place, hours: number | null, withComplaint: boolean): Step[] {
  const near: readonly Level[] = withComplaint ? ['model and complaint', 'model'] : ['model'];
  const like = hours === null ? [] : near.map((level) => ({ level, likeHours: true }));
  const far: readonly Level[] = place.work < 0 ? ['all'] : ['kin', 'work'];
  return [...like, ...[...near, ...far].map((level) => ({ level, likeHours: false }))];
}

/** @param enough rows that the group must have for it to be the one; the widest is taken as it is */
export function alikeRows(
  prepared: Prepared,
  place: Place,
  asked: Asked,
  lets: (row: number) => boolean,
  { byHours = false, enough = FEWEST_FOR_RATE }: { readonly byHours?: boolean; readonly enough?: number } = {},
): Alike {
  const hours = byHours ? (asked.engineHours ?? null) : null;
  const told = prepared.known.filter(lets);
  const ways = steps(place, hours, place.complaint >= 0);
  let found: Alike | undefined;
  for (const [k, { level, likeHours }] of ways.entries()) {
    const rows = told.filter(
      (row) =>
        isIn(prepared, row, level, place) &&
        (!likeHours || areLike(prepared.history.engineHours[row] ?? NaN, hours ?? NaN)),
    );
    found = { group: groupOf(prepared.history, level, place, asked), rows, borrowed: k > 0, likeHours };
    if (rows.length >= enough) break;
  }
  return found ?? { group: groupOf(prepared.history, 'all', place, asked), rows: [], borrowed: true, likeHours: false };
}
