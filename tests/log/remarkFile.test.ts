import fc from 'fast-check';
import { expect, it } from 'vitest';
import { z } from 'zod';
import { newRemarkSchema, remarkFile, remarksCsv, remarkSays } from '../../lib/log/remarkFile';
import { allRemarks } from '../../lib/store/questions/jobRemarks';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

const typed = (remark: string, author = '') =>
  newRemarkSchema.safeParse({ job_id: 'J-1', remark_id: 'r-1', remarked_on: '2024-05-01', remark, author });

it.each(['=1+1', '  =1+1', '+add', '-rest', '@sum', '＝1'])('%s is not taken: a spreadsheet would run it', (text) => {
  expect(typed(text).error?.issues[0]?.message).toBe(remarkSays.formula);
  expect(typed('fine', text).success).toBe(false);
});

it.each(['', '   ', 'x'.repeat(4001), 'a\u0000b'])(
  'what is empty, too long or holds control characters is not taken',
  (text) => {
    expect(typed(text).success).toBe(false);
  },
);

const letters = fc.string({
  unit: fc.constantFrom(...Array.from('ab, "\'\n\t;<>&=+é漢😀')),
  minLength: 1,
  maxLength: 60,
});

it('what is taken stands in the log as it was typed, from its own file and from the file of all remarks', async () => {
  const taken = fc.sample(letters, { numRuns: 24, seed: 4 }).flatMap((remark, i) => {
    const read = typed(remark, i % 2 === 0 ? '' : 'A. Auditor');
    return read.success ? [{ ...read.data, remark_id: `r-${i}` }] : [];
  });
  expect(taken.length).toBeGreaterThan(8);
  const each = Object.fromEntries(taken.map((row) => [remarkFile(row).name, remarkFile(row).text]));
  for (const files of [each, { 'remarks.csv': remarksCsv(taken) }]) {
    const log = await logOf({ ...smallLog, ...files });
    const rows = z.array(allRemarks.row).parse(await log.db.rows(allRemarks.sql, []));
    const found = new Map(rows.map(({ remark_id, remark, author }) => [remark_id, [remark, author]]));
    expect(found).toEqual(new Map(taken.map(({ remark_id, remark, author }) => [remark_id, [remark, author]])));
    await log.db.close();
  }
});

it('a remark that came with a formula is saved so that a spreadsheet does not run it', () => {
  const row = { job_id: 'J-1', remark_id: '1', remarked_on: '2024-05-01', remark: '=cmd()', author: null };
  expect(remarksCsv([row]).split('\n')[1]).toBe("1,J-1,2024-05-01,'=cmd(),,");
});
