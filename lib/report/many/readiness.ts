import type { Severity } from '../../calc/proof/findings';
import { codes } from '../../calc/layout';
import type { QueuedJob } from '../../store/questions/auditQueue';
import { day } from '../../words/figures';
import { isOwn, reasonCodes, reasonFacts, type ReasonCode, type Supply } from './reasons';

/** Whether the record of a job would hold before whoever decides on a claim. Ours; the rules stand in docs/audit-queue.md. */
export const readinessStates = ['ready', 'ready with remarks', 'not ready'] as const;
export type ReadinessState = (typeof readinessStates)[number];

export interface Reason {
  readonly code: ReasonCode;
  readonly severity: Severity;
  /** What is missing or wrong, as one plain sentence. */
  readonly says: string;
  readonly supply: Supply;
}

export interface Readiness {
  readonly state: ReadinessState;
  /** The gravest first; those for information do not bear on the state. */
  readonly reasons: readonly Reason[];
}

/** The rows that readiness rests on. */
export type ReadinessRows = Pick<
  QueuedJob,
  | 'received_on'
  | 'finished_on'
  | 'spec_revision'
  | 'revision_in_force'
  | 'superseded_on'
  | 'tolerance_assumed'
  | 'findings'
  | 'stages'
  | 'gauges'
  | 'readings'
  | 'unnamed'
>;
type Stage = QueuedJob['stages'][number];
type Gauge = QueuedJob['gauges'][number];
type Finding = QueuedJob['findings'][number];

const listed = (names: readonly string[]): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1) ?? ''}`;

/** The sentence with what it concerns in brackets before its full stop. */
const concerning = (says: string, what: string): string =>
  what === '' ? says : `${says.replace(/\.$/, '')} (${what}).`;

function reason(code: ReasonCode, what: string): Reason {
  const { severity, says, supply } = reasonFacts(code);
  return { code, severity, says: concerning(says, what), supply };
}

/** `timing and phasing, test points Base and Full load, governor`. */
function stageNames(stages: readonly Stage[]): string {
  const points = stages.flatMap(({ test_point }) => (test_point === null ? [] : [test_point]));
  const word = `test point${points.length === 1 ? '' : 's'}`;
  const names = stages.map(({ stage, test_point }) => (test_point === null ? stage : `${word} ${listed(points)}`));
  return [...new Set(names)].join(', ');
}

const MANY_PLACES = 4;

/** `test point full: elements 2 and 4; test point low`; no more than a few, the others counted. */
function places(found: readonly Finding[]): string {
  const told = found.map(({ test_point, elements }) => {
    const point = test_point === null ? '' : `test point ${test_point}`;
    const of =
      elements.length === 0 ? '' : `element${elements.length === 1 ? '' : 's'} ${listed(elements.map(String))}`;
    return [point, of].filter((each) => each !== '').join(': ');
  });
  const named = [...new Set(told)].filter((each) => each !== '');
  const more = named.length - MANY_PLACES;
  return [...named.slice(0, MANY_PLACES), ...(more > 0 ? [`${more} more`] : [])].join('; ');
}

const gaugeSays = ({ instrument_id, standing, due_on }: Gauge): string =>
  standing === 'past its date' ? `${instrument_id}, due ${day(due_on)}` : instrument_id;

/** What a finding concerns, in its own words where the rows tell more than the place. */
function concerns(code: ReasonCode, found: readonly Finding[], job: ReadinessRows): string {
  const gauges = (standing: Gauge['standing']): string =>
    job.gauges
      .filter((each) => each.standing === standing)
      .map(gaugeSays)
      .join('; ');
  switch (code) {
    case 'gauge past its date':
      return [gauges('past its date'), `pump in on ${day(job.received_on)}`].filter((each) => each !== '').join('; ');
    case 'gauge without calibration':
      return gauges('no calibration');
    case 'superseded revision':
      return job.revision_in_force === null
        ? ''
        : `worked to ${job.spec_revision}; ${job.revision_in_force} was in force, and ${job.spec_revision} not since ${day(job.superseded_on)}`;
    default:
      return places(found);
  }
}

/** Findings that say of a stage why it was not measured to its end. */
const saysMissing = ({ stage, test_point }: Stage, { finding, test_point: at }: Finding): boolean => {
  switch (stage) {
    case 'timing and phasing':
      return (
        finding === 'timing and phasing missing' ||
        finding === 'lift not read' ||
        (finding === 'element missing' && at === null)
      );
    case 'test point':
      return (finding === 'test point missing' || finding === 'element missing') && at === test_point;
    case 'governor':
      return finding === 'governor missing';
  }
};

function stageReasons({ stages, findings }: ReadinessRows): readonly Reason[] {
  const of = (code: ReasonCode, some: readonly Stage[]): readonly Reason[] =>
    some.length === 0 ? [] : [reason(code, stageNames(some))];
  const unmeasured = stages.filter(({ as_left }) => as_left === 'not measured');
  return [
    ...of(
      'left out of limits',
      stages.filter(({ as_left, decision }) => as_left === 'out' || decision === 'out'),
    ),
    ...of(
      'not measured as left',
      unmeasured.filter((stage) => !findings.some((found) => saysMissing(stage, found))),
    ),
    ...of(
      'cannot be decided',
      stages.filter(({ as_left, decision }) => as_left !== 'out' && decision === 'cannot tell'),
    ),
  ];
}

function gaugeReasons({ gauges, readings, unnamed }: ReadinessRows): readonly Reason[] {
  const of = (standing: Gauge['standing']): string =>
    listed(gauges.filter((each) => each.standing === standing).map(({ instrument_id }) => instrument_id));
  const [unlisted, uncertain] = [of('not listed'), of('no uncertainty')];
  return [
    ...(unlisted === '' ? [] : [reason('gauge not listed', unlisted)]),
    ...(unnamed === 0 ? [] : [reason('gauge not named', `${unnamed} of ${readings} readings`)]),
    ...(uncertain === '' ? [] : [reason('uncertainty not stated', uncertain)]),
  ];
}

function findingReasons(job: ReadinessRows): readonly Reason[] {
  const words = new Set(job.findings.map(({ finding }) => finding));
  return [...words].map((word) =>
    reason(
      word,
      concerns(
        word,
        job.findings.filter(({ finding }) => finding === word),
        job,
      ),
    ),
  );
}

const place = ({ severity, code }: Reason): number =>
  codes.severity.indexOf(severity) * reasonCodes.length + reasonCodes.indexOf(code);

/**
 * Whether the record of one job would hold, with each reason why not: not ready where one breaks the proof, ready with remarks where one
 * weakens it. What can't be told from the log, it does not tell: a licensed practitioner reads the record all the same.
 */
export function readinessOf(job: ReadinessRows): Readiness {
  const reasons = [
    ...stageReasons(job),
    ...findingReasons(job),
    ...gaugeReasons(job),
    ...(job.tolerance_assumed === 'yes' ? [reason('phasing tolerance assumed', '')] : []),
    ...(job.finished_on === null ? [reason('day finished not written', '')] : []),
  ].toSorted((a, b) => place(a) - place(b));
  const has = (severity: Severity): boolean => reasons.some((each) => each.severity === severity);
  const state = has('breaks the proof') ? 'not ready' : has('weakens the proof') ? 'ready with remarks' : 'ready';
  return { state, reasons };
}

/** A record would hold as it is: nothing stands against it, not even a remark. */
export const wouldHold = ({ state }: Pick<Readiness, 'state'>): boolean => state === 'ready';

/** A record would not hold: something breaks its proof. One with remarks may hold, and is counted neither here nor there. */
export const wouldNotHold = ({ state }: Pick<Readiness, 'state'>): boolean => state === 'not ready';

/** What bears on the state of a record and is no finding. */
export const besideFindings = ({ reasons }: Readiness): readonly Reason[] =>
  reasons.filter(({ code, severity }) => isOwn(code) && severity !== 'for information');

/** Whether all that stands against a job can still be brought: the worst of its reasons that count; null where none counts. */
export function supplyOf({ reasons }: Readiness): Supply | null {
  const counting = reasons.filter(({ severity }) => severity !== 'for information').map(({ supply }) => supply);
  if (counting.length === 0) return null;
  if (counting.includes('no')) return 'no';
  return counting.includes('if it was written down') ? 'if it was written down' : 'yes';
}
