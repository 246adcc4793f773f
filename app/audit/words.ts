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
