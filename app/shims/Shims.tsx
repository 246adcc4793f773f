'use client';

import type { ReactElement } from 'react';
import type { Filters } from '../../lib/store/filters';
import { latestShimChanges } from '../../lib/store/questions/latestShimChanges';
import { phaseErrorsByModel, type ErrorOfElement } from '../../lib/store/questions/phaseErrorsByModel';
import { phaseErrorsByQuarter } from '../../lib/store/questions/phaseErrorsByQuarter';
import { shimChangesByQuarter } from '../../lib/store/questions/shimChangesByQuarter';
import { counted, percent } from '../../lib/words/figures';
import { useAsk } from '../_log/useAsk';
import { useForesight } from '../_shell/useForesight';
import { Answer } from '../_shell/Answer';
import { ModelPicks } from '../_shell/ModelPicks';
import { ShimCaution } from '../_shell/Notes';
import { later } from '../_shell/later';
import { useUnits } from '../_shell/useUnits';
import { useFilters } from '../_shell/useFilters';

const ModelChanges = later(() => import('./ByModel').then((m) => m.ModelChanges));
const ModelErrors = later(() => import('./ByModel').then((m) => m.ModelErrors));
const ElementChanges = later(() => import('./ByQuarter').then((m) => m.ElementChanges));
const ElementErrors = later(() => import('./ByQuarter').then((m) => m.ElementErrors));
const MedianWheel = later(() => import('./MedianWheel').then((m) => m.MedianWheel));
const Rework = later(() => import('./Rework').then((m) => m.Rework));
const Cost = later(() => import('./Cost').then((m) => m.Cost));
const LatestChanges = later(() => import('./LatestChanges').then((m) => m.LatestChanges));

/** What choosing a model brings. */
const foreseen = {
  part: () => Promise.all([import('./ByQuarter'), import('./MedianWheel')]),
  questions: [
    phaseErrorsByQuarter,
    shimChangesByQuarter,
    {
      sql: latestShimChanges.sql,
      params: (filters: Filters) => latestShimChanges.params({ ...filters, element: null }),
    },
  ],
};

/** Too few readings to name an element in a sentence. */
const ENOUGH = 20;

function worstOf(rows: readonly ErrorOfElement[]): ErrorOfElement | undefined {
  return rows.filter((row) => row.n >= ENOUGH).toSorted((a, b) => Math.abs(b.median) - Math.abs(a.median))[0];
}

function Sentence({ rows }: { rows: readonly ErrorOfElement[] }): ReactElement {
  const { figure } = useUnits();
  const worst = worstOf(rows);
  if (worst === undefined) {
    return <p className="lead">Not enough readings as received to say which element stands out.</p>;
  }
  const way = worst.median > 0 ? 'late' : 'early';
  return (
    <p className="lead">
      As received, {worst.pump_model} element {worst.element} is furthest off: half of its closures are more than{' '}
      <strong>{figure(Math.abs(worst.median), 'cam_deg')}</strong> {way}, and {percent(worst.out / worst.n)} of{' '}
      {counted(worst.n, 'reading')} are out of tolerance.
    </p>
  );
}

/** Where shims keep changing, and the phase errors behind it. */
export function Shims(): ReactElement {
  const [filters] = useFilters();
  const errors = useAsk(phaseErrorsByModel, filters);
  const models = [...new Set((errors.rows ?? []).map((row) => row.pump_model))];
  useForesight(errors.rows !== null, foreseen, models);
  return (
    <div className="page">
      <div className="stack">
        <h1>Shim changes{filters.model === null ? '' : `, ${filters.model}`}</h1>
        <Answer asked={errors} none="No closure as received matches these filters.">
          {(rows) => <Sentence rows={rows} />}
        </Answer>
        {filters.model === null && models.length > 0 ? (
          <ModelPicks models={models} reason="Choose a model to see each element over time:" />
        ) : null}
      </div>
      <section className="section" aria-labelledby="changes">
        <h2 id="changes">Changes made</h2>
        {filters.model === null ? <ModelChanges /> : <ElementChanges model={filters.model} />}
      </section>
      <section className="section" aria-labelledby="errors">
        <h2 id="errors">Phase errors as received, behind them</h2>
        {filters.model === null ? (
          <ModelErrors asked={errors} />
        ) : (
          <>
            <ElementErrors model={filters.model} />
            <MedianWheel
              rows={(errors.rows ?? []).filter((row) => row.pump_model === filters.model)}
              model={filters.model}
            />
          </>
        )}
      </section>
      <section className="section" aria-labelledby="rework">
        <h2 id="rework">What would have been enough</h2>
        <Rework />
      </section>
      <section className="section" aria-labelledby="cost">
        <h2 id="cost">What rework cost</h2>
        <Cost />
      </section>
      <section className="section" aria-labelledby="latest">
        <h2 id="latest">The newest changes</h2>
        <ShimCaution />
        <LatestChanges />
      </section>
    </div>
  );
}
