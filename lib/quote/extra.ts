import { wilson } from '../stats/wilson';
import { addedBy } from './added';
import { alikeRows } from './alike';
import { placeOfAsked } from './groups';
import type { Prepared } from './prepare';
import { extraKinds, type Asked, type ExtraChance } from './types';

/**
 * How often like jobs needed more than was asked for: a share with its Wilson interval, from the nearest group with FEWEST_FOR_RATE jobs that
 * tell; and what it added.
 */
export function extraChances(prepared: Prepared, asked: Asked): ExtraChance[] {
  const place = placeOfAsked(prepared.history, asked);
  return extraKinds.map((kind): ExtraChance => {
    const told = prepared.history[kind];
    const { rows, group, borrowed, likeHours } = alikeRows(prepared, place, asked, (row) => (told[row] ?? -1) >= 0, {
      byHours: true,
    });
    const n = rows.length;
    const k = rows.filter((row) => told[row] === 1).length;
    const share = n === 0 ? null : wilson(k, n);
    const interval = { share: n === 0 ? null : k / n, low: share?.low ?? null, high: share?.high ?? null };
    return { kind, k, n, ...interval, group, borrowed, likeHours, added: addedBy(prepared, place, asked, kind) };
  });
}
