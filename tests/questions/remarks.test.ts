import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { Question } from '../../lib/store/question';
import { allRemarks, jobRemarks } from '../../lib/store/questions/jobRemarks';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

const HEADER = 'remark_id,job_id,remarked_on,remark,author,withdrawn';

async function asked<A, R>(files: Readonly<Record<string, string>>, question: Question<A, R>, args: A) {
  const log = await logOf({ ...smallLog, ...files });
  const rows = z.array(question.row).parse(await log.db.rows(question.sql, question.params(args)));
  const aside = await log.db.rows('select file, kind, column_name, value from set_aside order by file, row_no');
  await log.db.close();
  return { rows, aside };
}

describe('remarks', () => {
  it('are told for their job in the order of their days, text as it was written', async () => {
    const text = `He said ""<b>leaks</b>""; drop table jobs;\nsecond line, ${'long '.repeat(300)}`;
    const { rows, aside } = await asked(
      { 'remarks.csv': `${HEADER}\n2,J-1,2024-05-02,later,,\n1,J-1,2024-05-01,"${text}",A. Auditor,\n` },
      jobRemarks,
      { id: 'J-1' },
    );
    expect(aside).toEqual([]);
    expect(
      rows.map(({ remark_id, remarked_on, author, file, row_no }) => [remark_id, remarked_on, author, file, row_no]),
    ).toEqual([
      ['1', '2024-05-01', 'A. Auditor', 'remarks.csv', 3],
      ['2', '2024-05-02', null, 'remarks.csv', 2],
    ]);
    expect(rows[0]?.remark).toBe(text.replaceAll('""', '"').trim());
  });

  it('end where a later row with the same number takes them back; the same number on another job stays', async () => {
    const jobs = `${smallLog['jobs.csv'] ?? ''}J-2,S-2,Kestrel,K-1,A,2024-03-05,recalibrate,B1\n`;
    const first = `${HEADER}\n1,J-1,2024-05-01,wrong,,\n1,J-2,2024-05-01,right,,\n`;
    const { rows, aside } = await asked(
      { 'jobs.csv': jobs, 'a.csv': first, 'b.csv': `${HEADER}\n1,J-1,2024-05-01,wrong,,yes\n` },
      allRemarks,
      null,
    );
    expect(rows.map(({ job_id, remark }) => [job_id, remark])).toEqual([['J-2', 'right']]);
    expect(aside).toEqual([{ file: 'a.csv', kind: 'replaced', column_name: 'job_id, remark_id', value: null }]);
  });

  it('on a job that the log does not have are set aside as rows without a counterpart', async () => {
    const { rows, aside } = await asked({ 'remarks.csv': `${HEADER}\n1,J-9,2024-05-01,lost,,\n` }, jobRemarks, {
      id: 'J-9',
    });
    expect(rows).toEqual([]);
    expect(aside).toEqual([{ file: 'remarks.csv', kind: 'reference', column_name: 'job_id', value: 'J-9' }]);
  });
});
