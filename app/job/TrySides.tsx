import type { ReactElement } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';
import type { JobFinding } from '../../lib/store/questions/jobFindings';
import { resultLabel, spreadBases } from '../../lib/words/labels';
import { balanceSentences, findingFigures, findingSays, proofSentence, shimPlanSentences } from '../../lib/words/plan';
import { Verdict } from '../_shell/Verdict';
import { useUnits } from '../_shell/useUnits';
import { Severity, whereabouts } from './Findings';
import { Judged } from './Judged';
import { Sentences } from './ShimPlans';
import type { WorkedOut } from './tried';

interface SideProps {
  readonly name: string;
  readonly from: WorkedOut;
  readonly run: number;
  readonly point: number;
  readonly pointName: string;
  readonly card: JobCard;
  readonly tried?: boolean;
}

function TimingFacts({ from, run }: Pick<SideProps, 'from' | 'run'>): ReactElement | null {
  const { figure } = useUnits();
  const timing = from.timing.find((row) => row.run === run);
  if (timing === undefined) return null;
  return (
    <>
      <div>
        <dt>Timing, lift {figure(timing.lift_mm, 'mm_fine')}</dt>
        <dd>
          <Judged
            verdict={timing.timing_verdict}
            decision={timing.timing_decision}
            uncertainty={timing.lift_uncertainty_mm}
          />
        </dd>
      </div>
      <div>
        <dt>Phasing, largest error {figure(timing.worst_error_deg, 'cam_deg', { sign: true })}</dt>
        <dd>
          <Verdict verdict={timing.phasing_verdict} />
        </dd>
      </div>
    </>
  );
}

function PointFacts({ from, run, point, pointName }: Omit<SideProps, 'name' | 'card'>): ReactElement | null {
  const { figure } = useUnits();
  const found = from.points.find((row) => row.run === run && row.point === point);
  if (found === undefined) return null;
  const spread = figure(found.spread, spreadBases[found.spread_basis].unit, { decimals: 2 });
  return (
    <div>
      <dt>
        {pointName}, mean {figure(found.mean_mm3, 'mm3_per_stroke')}
        {found.spread === null ? null : `, spread ${spread}`}
      </dt>
      <dd>
        <Judged verdict={found.verdict} decision={found.decision} uncertainty={found.mean_uncertainty_mm3} />
      </dd>
    </div>
  );
}

function Plans({ from, run, card }: Pick<SideProps, 'from' | 'run' | 'card'>): ReactElement {
  const write = useUnits();
  const plan = from.plans.find((row) => row.run === run);
  const tolerance_deg = from.timing.find((row) => row.run === run)?.tolerance_deg ?? null;
  const steps = from.phasing.filter((row) => row.run === run).map((row) => ({ ...row, tolerance_deg }));
  const balance = from.balances.find((row) => row.run === run);
  const rotations = from.rotations.filter((row) => row.run === run);
  return (
    <>
      {plan === undefined ? null : (
        <Sentences of={shimPlanSentences(plan, steps, { ...card, split_pairs: from.splitPairs }, write)} />
      )}
      {balance === undefined ? null : <Sentences of={balanceSentences(balance, rotations, card.balance_by, write)} />}
    </>
  );
}

/** Any uncertainty that the job's decision rests on; empty where no gauge states one. */
const knownUncertainty = (from: WorkedOut): number | null =>
  [...from.points.map((row) => row.mean_uncertainty_mm3), ...from.timing.map((row) => row.lift_uncertainty_mm)].find(
    (value) => value !== null,
  ) ?? null;

/** What follows for the run and the job, from the log or from the figures tried. */
export function TriedSide({ name, from, run, point, pointName, card, tried = false }: SideProps): ReactElement {
  const asLeft = resultLabel('outcomes', 'as_left');
  return (
    <section className={tried ? 'try-side try-side-tried' : 'try-side'} aria-label={name}>
      <h3>{tried ? <span className="assumed">{name}</span> : name}</h3>
      <dl className="facts" aria-live={tried ? 'polite' : undefined}>
        <div>
          <dt title={asLeft.meaning}>Job, {asLeft.text.toLowerCase()}</dt>
          <dd>
            {from.outcome === null ? null : (
              <Judged
                verdict={from.outcome.as_left}
                decision={from.outcome.as_left_decision}
                uncertainty={knownUncertainty(from)}
              />
            )}
          </dd>
        </div>
        <TimingFacts from={from} run={run} />
        <PointFacts from={from} run={run} point={point} pointName={pointName} />
      </dl>
      <Plans from={from} run={run} card={card} />
      {from.outcome === null ? null : (
        <p className="small">{proofSentence(from.outcome.breaking, from.outcome.weakening)}</p>
      )}
    </section>
  );
}

const nameOf = (row: JobFinding): string => `${row.finding} ${whereabouts(row)}`;

function Moved({ title, rows }: { title: string; rows: readonly JobFinding[] }): ReactElement | null {
  const write = useUnits();
  if (rows.length === 0) return null;
  return (
    <div>
      <h3>{title}</h3>
      <ul className="findings">
        {rows.map((row) => (
          <li key={nameOf(row)}>
            <Severity severity={row.severity} />
            <p>
              {findingSays(row.finding, write)}{' '}
              {[whereabouts(row), findingFigures(row, write)].filter((part) => part !== '').join('; ')}
            </p>
          </li>
        ))}
      </ul>
    </div>
  );
}

/** Findings that the tried figures bring and those that they take away. */
export function FindingsMoved({
  logged,
  tried,
}: {
  logged: readonly JobFinding[];
  tried: readonly JobFinding[];
}): ReactElement {
  const had = new Set(logged.map(nameOf));
  const has = new Set(tried.map(nameOf));
  return (
    <>
      <Moved title="Findings that these figures would bring" rows={tried.filter((row) => !had.has(nameOf(row)))} />
      <Moved title="Findings that they would take away" rows={logged.filter((row) => !has.has(nameOf(row)))} />
    </>
  );
}
