import type { JobExcluded } from '../store/questions/jobExcluded';
import type { FindingEvidence, JobFinding } from '../store/questions/jobFindings';
import type { JobGauge } from '../store/questions/jobGauges';
import type { JobSource } from '../store/questions/jobSources';
import type { SpecRevision } from '../store/questions/jobSpecInForce';
import type { AuditRecord, Summary } from './record';
import type { FigureTable, ReadingName, Row, SpecName } from './rows';

/** What the log answers about one job: all that a record is put together from. */
export interface JobParts {
  readonly card: Row;
  readonly spec: Readonly<Record<SpecName, readonly Row[]>>;
  readonly revisions: readonly SpecRevision[];
  readonly gauges: readonly JobGauge[];
  readonly readings: Readonly<Record<ReadingName, readonly Row[]>>;
  readonly results: Readonly<Record<FigureTable, readonly Row[]>>;
  readonly findings: readonly JobFinding[];
  readonly evidence: readonly FindingEvidence[];
  readonly excluded: readonly JobExcluded[];
  readonly sources: readonly JobSource[];
  readonly remarks: AuditRecord['remarks'];
  readonly summary?: Summary;
}
