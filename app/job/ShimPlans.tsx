import type { ReactElement, ReactNode } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';
import type { JobPhasing } from '../../lib/store/questions/jobPhasing';
import type { JobShimPlan } from '../../lib/store/questions/jobShimPlans';
import { doneBesideEnough, shimPlanSentences, stepSentence } from '../../lib/words/plan';
import { Assumed } from '../_shell/Figure';
import { ShimCaution } from '../_shell/Notes';
import { useUnits } from '../_shell/useUnits';
import { runName } from './place';

/** Sentences of a plan; the first, which tells the hand what to do, stands out. */
export function Sentences({ of, children }: { of: readonly string[]; children?: ReactNode }): ReactElement {
  const [order, ...rest] = of;
  return (
    <div className="plan-words">
      <p className="plan-order">{order}</p>
      {rest.length === 0 ? null : <p>{rest.join(' ')}</p>}
      {children}
    </div>
  );
}

/** Whether a second half stands in any row of the job: then its shims come in split pairs. */
export const hasSplitPairs = (rows: readonly JobPhasing[]): boolean =>
  rows.some((row) => row.before_second_mm !== null || row.after_second_mm !== null);

interface PlanProps {
  readonly plan: JobShimPlan;
  readonly steps: readonly JobPhasing[];
  readonly card: JobCard;
  readonly splitPairs: boolean;
}

function Plan({ plan, steps, card, splitPairs }: PlanProps): ReactElement {
  const write = useUnits();
  const setting = { ...card, split_pairs: splitPairs };
  return (
    <li>
      <h4>{runName(plan.run)}</h4>
      <Sentences of={shimPlanSentences(plan, steps, setting, write)}>
        <p className="small">{doneBesideEnough(plan, card, write)}</p>
        <p className="small quiet">
          {stepSentence(plan, write)} {plan.step_assumed === 'yes' ? <Assumed>step assumed</Assumed> : null}{' '}
          {card.tolerance_assumed === 'yes' ? <Assumed>tolerance assumed</Assumed> : null}{' '}
          {card.lift_rate_basis === 'assumed' ? <Assumed>lift rate assumed</Assumed> : null}
        </p>
      </Sentences>
    </li>
  );
}

interface Props {
  readonly plans: readonly JobShimPlan[];
  readonly rows: readonly JobPhasing[];
  readonly card: JobCard;
}

/** The least-rework plan after each run, in the words of the bench, beside what was done. */
export function ShimPlans({ plans, rows, card }: Props): ReactElement | null {
  if (plans.length === 0) return null;
  const splitPairs = hasSplitPairs(rows);
  return (
    <div className="plans">
      <h3>Least rework, run by run</h3>
      <ol>
        {plans.map((plan) => (
          <Plan
            key={plan.run}
            plan={plan}
            steps={rows.filter((row) => row.run === plan.run)}
            card={card}
            splitPairs={splitPairs}
          />
        ))}
      </ol>
      <ShimCaution />
    </div>
  );
}
