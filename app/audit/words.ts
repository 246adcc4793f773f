import type { JudgedJob } from '../../lib/report/many/fleet';
import { stateCounts } from '../../lib/report/many/fleet';
import type { ReadinessState } from '../../lib/report/many/readiness';
import { wilson } from '../../lib/stats/wilson';
import { count, counted, percentRange } from '../../lib/words/figures';

export const stateMeanings: Readonly<Record<ReadinessState, string>> = {
  ready: 'Nothing stands against the record.',
  'ready with remarks': 'Something weakens the proof: say it before someone else does.',
  'not ready': 'Something breaks the proof: the record would not hold.',
};

/** `148 warranty jobs`. */
export const lotName = (n: number, all: boolean): string => counted(n, all ? 'job' : 'warranty job');

const MANY_NAMES = 12;

/** Names that were looked up or pasted and that none of the jobs answers to, in a sentence; null where each is some job's. */
export function notFoundSays(names: readonly string[], judged: readonly JudgedJob[]): string | null {
  const known = new Set(judged.flatMap(({ job }) => [job.job_id, job.pump_serial, job.claim_no]));
  const missing = names.filter((name) => !known.has(name));
  if (missing.length === 0) return null;
  const more = missing.length - MANY_NAMES;
  const told = `${missing.slice(0, MANY_NAMES).join(', ')}${more > 0 ? ` and ${count(more)} more` : ''}`;
  const [are, have] = missing.length === 1 ? ['is', 'it'] : ['are each', 'them'];
  return `${told} ${are} no job, serial or claim number of the jobs looked at. Either the log does not have ${have}, or the job was set aside as it was read (see Log), or it is no warranty job, or the filters above leave it out.`;
}

/** The answer to "what would not hold", in one sentence. */
export function answerOf(judged: readonly JudgedJob[], all: boolean): string {
  const { ready, 'ready with remarks': remarks, 'not ready': not } = stateCounts(judged);
  const { low, high } = wilson(ready, judged.length);
  const hold = ready === 0 ? 'none would hold as it is' : `${count(ready)} would hold`;
  return `Of ${lotName(judged.length, all)}, ${hold} (${percentRange(low, high)}), ${count(remarks)} with remarks, ${count(not)} would not.`;
}

/** What can be done about those that are not ready. */
export function supplySays(judged: readonly JudgedJob[]): string {
  const short = judged.filter(({ state }) => state !== 'ready');
  if (short.length === 0) return '';
  const papers = short.filter(({ supply }) => supply === 'yes').length;
  const written = short.filter(({ supply }) => supply === 'if it was written down').length;
  const rest = written === 0 ? '' : `; ${count(written)} more, if the readings were written down at the time`;
  return `Of the other ${count(short.length)}, ${papers === 0 ? 'none lacks' : `${count(papers)} ${papers === 1 ? 'lacks' : 'lack'}`} only what can still be supplied: a certificate, a row of the specification, a correction${rest}.`;
}
