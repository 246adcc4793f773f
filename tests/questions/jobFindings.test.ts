import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { HeadlessLog } from '../../lib/headless/log';
import { jobFindingRows, jobFindings } from '../../lib/store/questions/jobFindings';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

describe('the rows of the log behind a finding', () => {
  let log: HeadlessLog;
  beforeAll(async () => {
    log = await logOf({
      ...smallLog,
      'shims.csv': `job_id,run,element,before_mm,after_mm,stated_change_mm
J-1,1,3,1.20,1.05,0.15
J-1,2,4,1.00,1.05,
`,
    });
  });
  afterAll(async () => {
    await log.db.close();
  });

  it('are named by file and row of the spreadsheet', async () => {
    const args = jobFindingRows.params({ id: 'J-1' });
    const rows = z.array(jobFindingRows.row).parse(await log.db.rows(jobFindingRows.sql, args));
    const places = (finding: string) =>
      rows.filter((row) => row.finding === finding).map(({ file, row_no, n }) => [file, row_no, n]);
    expect(places('shim change stated with the wrong sign')).toEqual([['shims.csv', 2, 1]]);
    expect(places('shim changed after the last closure')).toEqual([['shims.csv', 3, 1]]);
    // Element 4 was drawn once at 12.4 mm of rack, 0.4 mm from the point's 12 with 0.1 allowed.
    expect(places('draw before the rack was set')).toEqual([['draws.csv', 5, 1]]);
  });

  it('are as many as the finding counts', async () => {
    const ask = async (question: typeof jobFindings | typeof jobFindingRows) =>
      log.db.rows(question.sql, question.params({ id: 'J-1' }));
    const found = z.array(jobFindings.row).parse(await ask(jobFindings));
    const rows = z.array(jobFindingRows.row).parse(await ask(jobFindingRows));
    for (const { finding, run, element, rows: n } of found) {
      const behind = rows.filter((row) => row.finding === finding && row.run === run && row.element === element);
      if (behind.length > 0) expect(behind.reduce((sum, row) => sum + row.n, 0)).toBe(n);
    }
    expect(found.length).toBeGreaterThan(2);
  });
});
