import { z } from 'zod';
import { question } from '../question';
import { asideColumns } from '../tables';
import { int } from './rows';

const row = z.object({
  rows_read: int,
  rows_accepted: int,
  rows_set_aside: int,
  rows_needing_hand: int,
  rows_repeated: int,
  rows_replaced: int,
  rows_mended: int,
  rows_left_out: int,
});
export type SetAsideSums = z.infer<typeof row>;

const sums = ['rows_read', 'rows_accepted', 'rows_set_aside', ...Object.keys(asideColumns)];

/** Over the whole log: read = accepted + set aside, and set aside = needing a hand + repeated + replaced + mended + left out. */
export const setAsideSums = question<null, SetAsideSums>(
  'setAsideSums',
  row,
  () => [],
  `select ${sums.map((name) => `coalesce(sum(${name}), 0)::integer as ${name}`).join(', ')} from sources`,
);
