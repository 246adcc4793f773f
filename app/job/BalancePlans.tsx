'use client';

import type { ReactElement } from 'react';
import { jobBalancePlans, type JobBalancePlan } from '../../lib/store/questions/jobBalancePlans';
import type { JobCard } from '../../lib/store/questions/jobCard';
import { jobRotations, type JobRotation } from '../../lib/store/questions/jobRotations';
import { resultLabel } from '../../lib/words/labels';
import { balanceSentences, gainSentence, turnedBesideEnough } from '../../lib/words/plan';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Figure } from '../_shell/Figure';
import { ShimCaution } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useUnits } from '../_shell/useUnits';
import { runName } from './place';
import { Sentences } from './ShimPlans';

const columns: readonly SheetColumn<JobRotation>[] = [
  { label: resultLabel('rotations', 'run'), cell: (row) => row.run, number: true },
  { label: resultLabel('rotations', 'element'), cell: (row) => row.element, number: true },
  ...(['planned_deg', 'made_deg', 'used_deg', 'slot_left_deg'] as const).map((name): SheetColumn<JobRotation> => ({
    label: resultLabel('rotations', name),
    cell: (row) => <Figure value={row[name]} unit="deg" sign={name !== 'slot_left_deg'} bare />,
    number: true,
  })),
  {
    label: resultLabel('rotations', 'planned_mm3'),
    cell: (row) => <Figure value={row.planned_mm3} unit="mm3_per_stroke" bare />,
    number: true,
  },
  { label: resultLabel('rotations', 'past_slot'), cell: (row) => row.past_slot },
];

interface PlanProps {
  readonly plan: JobBalancePlan;
  readonly rotations: readonly JobRotation[];
  readonly card: JobCard;
}

function Plan({ plan, rotations, card }: PlanProps): ReactElement {
  const write = useUnits();
  const gain = gainSentence(plan, write);
  return (
    <li>
      <h4>
        {runName(plan.run)}, {plan.test_point ?? 'base test point'}
      </h4>
      <Sentences of={balanceSentences(plan, rotations, card.balance_by, write)}>
        <p className="small">{turnedBesideEnough(plan, card.balance_by, write)}</p>
        {gain === null ? null : <p className="small quiet">{gain}</p>}
      </Sentences>
    </li>
  );
}

/** The least-rework balance after each run, in the words of the bench, beside what was turned. */
export function BalancePlans({ id, card }: { id: string; card: JobCard }): ReactElement {
  const { rows: rotations } = useAsk(jobRotations, { id });
  return (
    <section className="section" aria-labelledby="balance">
      <h2 id="balance">Balance</h2>
      <Answer asked={useAsk(jobBalancePlans, { id })} none="The base test point was not drawn in this job.">
        {(plans) => (
          <div className="plans">
            <ol>
              {plans.map((plan) => (
                <Plan
                  key={plan.run}
                  plan={plan}
                  rotations={(rotations ?? []).filter((row) => row.run === plan.run)}
                  card={card}
                />
              ))}
            </ol>
            <ShimCaution />
          </div>
        )}
      </Answer>
      {rotations === null || rotations.length === 0 ? null : (
        <Sheet
          caption="Rotations, planned and made; plus raises delivery"
          columns={columns}
          rows={rotations}
          rowKey={(row) => `${row.run} ${row.element}`}
        />
      )}
    </section>
  );
}
