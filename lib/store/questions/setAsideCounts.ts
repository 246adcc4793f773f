import { z } from 'zod';
import { question } from '../question';
import { faultKinds } from '../tables';
import { int, text } from './rows';

/** Why a row was set aside, in one word; lib/words says it to people. */
export const setAsideKind = z.enum(faultKinds);
export type SetAsideKind = z.infer<typeof setAsideKind>;

const row = z.object({ kind: setAsideKind, file: text, rows: int });
export type SetAsideCount = z.infer<typeof row>;

/** How many rows were set aside, by kind of reason and file. */
export const setAsideCounts = question<null, SetAsideCount>(
  'setAsideCounts',
  row,
  () => [],
  'select kind, file, count(*)::integer as rows from set_aside group by kind, file order by rows desc, kind, file',
);
