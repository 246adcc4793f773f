import { term } from './label';

/** Words of the audit page. */
export const auditTerms = {
  readiness: term(
    'state of the record',
    'ours',
    'Whether the record of the job would hold: ready, ready with remarks, not ready.',
  ),
  shareHolding: term('would hold', 'ours', 'Share of the jobs whose record is ready without a remark.', 'percent'),
  against: term('what is missing or wrong', 'ours', 'What stands against the record, the gravest first.'),
  supply: term('can still be supplied', 'ours', 'Whether what stands against the record can still be brought.'),
  auditRecord: term('record', 'ours', 'All that the log has of the job, as a sheet to print or to save.'),
  reasonJobs: term('jobs with it', 'ours', 'Jobs in which the reason stands.', 'count'),
  reasonAlone: term('alone', 'ours', 'Jobs in which nothing else stands against the record.', 'count'),
  acceptance: term(
    'chance of acceptance',
    'standard',
    'How often a sample as large would accept jobs of which that share would not hold.',
    'percent',
  ),
  shareFailing: term('would not hold', 'ours', 'Share of the jobs whose record would not hold.', 'percent'),
} as const;
