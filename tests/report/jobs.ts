import type { QueuedJob } from '../../lib/store/questions/auditQueue';

/** A job of which nothing is to be said. */
export const clean: QueuedJob = {
  job_no: 1,
  job_id: 'J-1',
  pump_serial: 'S-1',
  pump_model: 'Kestrel',
  work_type: 'recalibrate',
  bench_id: 'B1',
  received_on: '2024-03-04',
  finished_on: '2024-03-05',
  warranty: true,
  claim_no: 'W-0123',
  spec_revision: 'B',
  revision_in_force: null,
  superseded_on: null,
  as_left: 'in',
  as_left_decision: 'in',
  tolerance_assumed: 'no',
  findings: [],
  stages: [],
  gauges: [],
  readings: 40,
  unnamed: 0,
};

export const job = (change: Partial<QueuedJob>): QueuedJob => ({ ...clean, ...change });

export const found = (
  finding: QueuedJob['findings'][number]['finding'],
  test_point: string | null = null,
  elements: readonly number[] = [],
): QueuedJob['findings'][number] => ({ finding, test_point, elements: [...elements], rows: 1 });

export const staged = (
  stage: QueuedJob['stages'][number]['stage'],
  test_point: string | null,
  as_left: QueuedJob['stages'][number]['as_left'],
  decision: QueuedJob['stages'][number]['decision'] = as_left,
): QueuedJob['stages'][number] => ({ stage, test_point, as_left, decision });

export const gauged = (
  instrument_id: string,
  standing: QueuedJob['gauges'][number]['standing'],
): QueuedJob['gauges'][number] => ({
  instrument_id,
  standing,
  calibrated_on: standing === 'not listed' || standing === 'no calibration' ? null : '2022-06-01',
  due_on: standing === 'past its date' ? '2023-06-01' : null,
});
