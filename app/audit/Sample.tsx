'use client';

import type { ReactElement } from 'react';
import type { JudgedJob } from '../../lib/report/many/fleet';
import { chanceOfAcceptance } from '../../lib/stats/attributePlan';
import { inspectionLevels, qualityLimits } from '../../lib/stats/iso2859';
import { count, counted, percent } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { freshSeed } from './Choose';
import type { AuditChange, AuditChoice } from './useAuditChoice';
import { outcomeOf, type DrawnPlan } from './plan';
import { lotName } from './words';

interface NumberProps {
  readonly name: string;
  readonly value: number | null;
  readonly least: number;
  readonly most: number;
  readonly step: number | 'any';
  readonly onSet: (value: number | null) => void;
}

/** A number typed by hand; nothing that is none, or beyond its bounds, is taken. */
function NumberField({ name, value, least, most, step, onSet }: NumberProps): ReactElement {
  return (
    <label className="field">
      <span>{name}</span>
      <input
        type="number"
        className="short"
        defaultValue={value ?? ''}
        key={value}
        min={least}
        max={most}
        step={step}
        onBlur={(event) => {
          const typed = event.currentTarget.value === '' ? null : event.currentTarget.valueAsNumber;
          if (typed !== value && (typed === null || (typed >= least && typed <= most))) onSet(typed);
        }}
        onKeyDown={(event) => {
          if (event.key === 'Enter') event.currentTarget.blur();
        }}
      />
    </label>
  );
}

interface Props {
  readonly choice: AuditChoice;
  readonly set: (change: AuditChange) => void;
}

function RiskFields({ choice, set }: Props): ReactElement {
  return (
    <>
      <NumberField
        name="Tolerable share that would not hold, %"
        value={choice.tolerable}
        least={0.1}
        most={100}
        step="any"
        onSet={(tolerable) => {
          set({ tolerable });
        }}
      />
      <NumberField
        name="Risk of accepting more, %"
        value={choice.risk}
        least={0.1}
        most={50}
        step="any"
        onSet={(risk) => {
          set({ risk });
        }}
      />
      <NumberField
        name="Allow in the sample at least"
        value={choice.allowed}
        least={0}
        most={100}
        step={1}
        onSet={(allowed) => {
          set({ allowed: allowed === null ? null : Math.round(allowed) });
        }}
      />
      <NumberField
        name="Share to be expected, % (may stay empty)"
        value={choice.expected}
        least={0}
        most={99}
        step="any"
        onSet={(expected) => {
          set({ expected });
        }}
      />
      {choice.expected === null ? null : (
        <NumberField
          name="Risk of refusing that, %"
          value={choice.producer}
          least={0.1}
          most={50}
          step="any"
          onSet={(producer) => {
            set({ producer });
          }}
        />
      )}
    </>
  );
}

function StandardFields({ choice, set }: Props): ReactElement {
  return (
    <>
      <label className="field">
        <span>General inspection level</span>
        <select
          value={choice.level}
          onChange={(event) => {
            set({ level: inspectionLevels.find((level) => level === event.currentTarget.value) ?? null });
          }}
        >
          {inspectionLevels.map((level) => (
            <option key={level}>{level}</option>
          ))}
        </select>
      </label>
      <label className="field">
        <span>Acceptable quality limit, %</span>
        <select
          value={choice.aql}
          onChange={(event) => {
            set({ aql: qualityLimits.find((limit) => String(limit) === event.currentTarget.value) ?? null });
          }}
        >
          {qualityLimits.map((limit) => (
            <option key={limit}>{limit}</option>
          ))}
        </select>
      </label>
    </>
  );
}

const SHARES = [0.01, 0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5];

interface ShareRow {
  readonly share: number;
  readonly chance: number;
}
const shareColumns: readonly SheetColumn<ShareRow>[] = [
  { label: { ...terms.shareFailing, unit: null }, cell: ({ share }) => percent(share), number: true },
  { label: { ...terms.acceptance, unit: null }, cell: ({ chance }) => percent(chance, 1), number: true },
];

interface SampleProps extends Props {
  /** Null where no plan keeps what is asked. */
  readonly plan: DrawnPlan | null;
  readonly drawn: readonly JudgedJob[];
  readonly lot: number;
}

/** The plan, what it risks, and what the sample came to. */
export function Sample({ choice, set, plan, drawn, lot }: SampleProps): ReactElement {
  return (
    <section className="section" aria-labelledby="sample">
      <h2 id="sample">The sample</h2>
      <div className="row no-print audit-fields">
        {choice.draw === 'iso' ? (
          <StandardFields choice={choice} set={set} />
        ) : (
          <RiskFields choice={choice} set={set} />
        )}
        <NumberField
          name="Seed"
          value={choice.seed}
          least={0}
          most={2_147_483_647}
          step={1}
          onSet={(seed) => {
            set({ seed: seed === null ? null : Math.round(seed) });
          }}
        />
        <button
          type="button"
          onClick={() => {
            set({ seed: freshSeed() });
          }}
        >
          Draw anew
        </button>
      </div>
      {plan === null ? (
        <Note warm>
          No sample of these {lotName(lot, choice.all)} keeps these risks: so many may fail in the sample as would be
          intolerable in all of them, or the figures leave nothing to draw. Allow fewer, or look at every job.
        </Note>
      ) : (
        <PlanTold plan={plan} drawn={drawn} lot={lot} choice={choice} />
      )}
    </section>
  );
}

function PlanTold({
  plan,
  drawn,
  lot,
  choice,
}: {
  plan: DrawnPlan;
  drawn: readonly JudgedJob[];
  lot: number;
  choice: AuditChoice;
}): ReactElement {
  const { found, accepted, limit } = outcomeOf(drawn, plan, lot);
  const rows = SHARES.map((share) => ({ share, chance: chanceOfAcceptance(plan, lot, share) }));
  return (
    <>
      <p className="prose">
        <strong>
          Plan: look at {count(plan.n)} of the {lotName(lot, choice.all)}, accept with up to {count(plan.c)} that would
          not hold, refuse from {count(plan.c + 1)} on.
        </strong>{' '}
        {plan.says}
      </p>
      <p className="prose" role="status">
        <strong>
          Outcome: {accepted ? 'accepted' : 'not accepted'}. {counted(found, 'job')} of the {count(plan.n)} drawn would
          not hold; {count(plan.c)} {plan.c === 1 ? 'is' : 'are'} allowed.
        </strong>{' '}
        {limit === null
          ? ''
          : `At 95 % confidence at most ${percent(limit, 1)} of the ${lotName(lot, choice.all)} would not hold, ${count(Math.round(limit * lot))} of them.`}
      </p>
      <p className="quiet prose small">
        Drawn with seed {choice.seed} over the job numbers in their order: the address of this page draws the same jobs
        from the same log. Jobs ready with remarks count as holding. Chances are exact, for a sample without putting
        back.
      </p>
      <details className="block">
        <summary>How often this plan would accept</summary>
        <Sheet
          caption="Chance of acceptance by the share that would not hold"
          columns={shareColumns}
          rows={rows}
          rowKey={({ share }) => String(share)}
        />
      </details>
    </>
  );
}
