import { newRemarkSchema, remarkFile, remarksCsv, remarkSays, type RemarkRow } from '../../lib/log/remarkFile';
import type { JobRemark } from '../../lib/store/questions/jobRemarks';
import { asWritten } from '../../lib/words/visible';
import { session } from './session';

/** Remarks on their way between a page, which holds texts as it shows them, and the log. */

const ID_BYTES = 4;
/** A number of chance, so that remarks made in two places do not take each other's place. */
const newId = (): string =>
  `r-${[...crypto.getRandomValues(new Uint8Array(ID_BYTES))].map((byte) => byte.toString(16).padStart(2, '0')).join('')}`;

const write = (row: RemarkRow): Promise<string | null> => {
  const { name, text } = remarkFile(row);
  return session.write(name, text);
};

export interface Typed {
  readonly remarked_on: string;
  readonly remark: string;
  readonly author: string;
}

/** Adds a remark to a job of the log; answers why it could not be, null where it is there. */
export async function addRemark(jobId: string, typed: Typed): Promise<string | null> {
  const read = newRemarkSchema.safeParse({ ...typed, job_id: asWritten(jobId), remark_id: newId() });
  if (read.success) return write(read.data);
  const [issue] = read.error.issues;
  return issue?.code === 'custom' ? issue.message : remarkSays.rule;
}

const rowOf = ({ job_id, remark_id, remarked_on, remark, author }: JobRemark): RemarkRow => ({
  job_id: asWritten(job_id),
  remark_id: asWritten(remark_id),
  remarked_on,
  remark: asWritten(remark),
  author: author === null ? null : asWritten(author),
});

/** Takes a remark back by a later row with its number. */
export const takeBack = (remark: JobRemark): Promise<string | null> => write({ ...rowOf(remark), withdrawn: true });

/** The remarks as one file. */
export const remarksFile = (remarks: readonly JobRemark[]): Blob =>
  new Blob([remarksCsv(remarks.map(rowOf))], { type: 'text/csv' });
