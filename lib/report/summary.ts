import type { QueuedJob } from '../store/questions/auditQueue';
import { readinessOf } from './many/readiness';
import type { Summary } from './record';

/** The state of a record as the record itself states it: what bears on the state, not what is for information. */
export function summaryOf(job: QueuedJob): Summary {
  const { state, reasons } = readinessOf(job);
  return {
    state,
    reasons: reasons
      .filter(({ severity }) => severity !== 'for information')
      .map(({ code, says, supply }) => ({ code, says, supply })),
  };
}
