import { z } from 'zod';
import type { Question, SqlValue } from '../store/question';
import { amongAll, auditQueue } from '../store/questions/auditQueue';
import { jobExcluded } from '../store/questions/jobExcluded';
import { jobFindingRows, jobFindings } from '../store/questions/jobFindings';
import { jobGauges } from '../store/questions/jobGauges';
import { jobRemarks } from '../store/questions/jobRemarks';
import { jobSources } from '../store/questions/jobSources';
import { jobSpecInForce } from '../store/questions/jobSpecInForce';
import { assemble } from './assemble';
import { recordSchema, type AuditRecord } from './record';
import { cardRows, figureRows, figureTables, readingNames, readingRows, specNames, specRows, type Row } from './rows';
import { summaryOf } from './summary';

/** Runs a statement on the open log: a page's session and a database of either kind do. */
export type Ask = (sql: string, params: readonly SqlValue[]) => Promise<readonly unknown[]>;

type OfJob<R> = Question<{ readonly id: string }, R>;

/** The record of one job of the log, all jobs being worked out; null where the log has no such job. */
export async function buildRecord(ask: Ask, id: string): Promise<AuditRecord | null> {
  const answer = async <R>({ sql, params, row }: OfJob<R>): Promise<R[]> =>
    z.array(row).parse(await ask(sql, params({ id })));
  // One after the other: a database answers one statement at a time.
  const each = async <K extends string>(
    names: readonly K[],
    questions: Readonly<Record<K, OfJob<Row>>>,
  ): Promise<Record<K, Row[]>> => {
    const found: [K, Row[]][] = [];
    for (const name of names) found.push([name, await answer(questions[name])]);
    return Object.fromEntries(found) as Record<K, Row[]>;
  };
  const [card] = await answer(cardRows);
  if (card === undefined) return null;
  const [queued] = z
    .array(auditQueue.row)
    .parse(await ask(auditQueue.sql, auditQueue.params(amongAll([id]))))
    .filter((each) => each.job_id === id);
  const record = assemble({
    card,
    spec: await each(specNames, specRows),
    revisions: await answer(jobSpecInForce),
    gauges: await answer(jobGauges),
    readings: await each(readingNames, readingRows),
    results: await each(figureTables, figureRows),
    findings: await answer(jobFindings),
    evidence: await answer(jobFindingRows),
    excluded: await answer(jobExcluded),
    sources: await answer(jobSources),
    remarks: (await answer(jobRemarks)).map(({ remark_id, remarked_on, remark, author }) => ({
      remark_id,
      remarked_on,
      remark,
      author,
    })),
    ...(queued === undefined ? {} : { summary: summaryOf(queued) }),
  });
  return recordSchema.parse(record);
}
