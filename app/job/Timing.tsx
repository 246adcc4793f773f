'use client';

import type { ReactElement } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';
import type { Unit } from '../../lib/units/units';
import { jobTiming, type JobTiming } from '../../lib/store/questions/jobTiming';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Adjustment, Assumed, Figure, Written } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { Formulas } from './Formulas';
import { Judged } from './Judged';
import { eitherWay, place } from './place';

function PlusMinus({ value, unit }: { value: number | null; unit: Unit }): ReactElement | null {
  return value === null ? null : <Written>{(write) => ` ± ${write.figure(value, unit, { bare: true })}`}</Written>;
}

const bandOf = (row: JobTiming): readonly [number | null, number | null] => [row.low_mm, row.high_mm];

const columnsFor = (adjuster: JobCard['adjuster']): readonly SheetColumn<JobTiming>[] => [
  { label: resultLabel('timing', 'run'), cell: (row) => row.run, number: true },
  {
    label: logLabel('closures', 'lift_mm'),
    cell: (row) => (
      <>
        <Figure value={row.read_lift_mm} unit="mm_fine" bare />
        {row.preload_mm === null ? null : (
          <span className="under">
            preload <Figure value={row.preload_mm} unit="mm_fine" bare />
          </span>
        )}
      </>
    ),
    number: true,
  },
  {
    label: resultLabel('timing', 'lift_mm'),
    cell: (row) => (
      <>
        <Figure value={row.lift_mm} unit="mm_fine" within={bandOf(row)} bare />
        <PlusMinus value={row.lift_uncertainty_mm} unit="mm_fine" />
      </>
    ),
    number: true,
  },
  {
    label: { ...terms.bandAllowed, unit: 'mm_fine' },
    cell: (row) => (
      <Written>{(write) => write.beside(row.lift_mm, bandOf(row), 'mm_fine', { bare: true }).band}</Written>
    ),
    number: true,
  },
  {
    label: resultLabel('timing', 'lift_error_mm'),
    cell: (row) => <Figure value={row.lift_error_mm} unit="mm_fine" sign bare />,
    number: true,
  },
  {
    label: resultLabel('timing', 'timing_verdict'),
    cell: (row) => (
      <Judged verdict={row.timing_verdict} decision={row.timing_decision} uncertainty={row.lift_uncertainty_mm} />
    ),
  },
  {
    label: { ...resultLabel('timing', 'shim_change_mm'), text: 'Change needed', unit: null },
    cell: (row) => <Adjustment mm={row.shim_change_mm} adjuster={adjuster} decimals={3} />,
    number: true,
  },
  {
    label: resultLabel('timing', 'lift_rate_mm_per_deg'),
    cell: (row) => (
      <>
        <Figure value={row.lift_rate_mm_per_deg} unit="mm_per_deg" bare />
        <span className="under">{row.lift_rate_basis === 'assumed' ? <Assumed /> : row.lift_rate_basis}</span>
      </>
    ),
    number: true,
  },
  {
    label: resultLabel('timing', 'worst_error_deg'),
    cell: (row) => (
      <>
        <Figure value={row.worst_error_deg} unit="cam_deg" within={eitherWay(row.tolerance_deg)} sign bare />
        {row.worst_element === 0 ? null : <span className="under">element {row.worst_element}</span>}
      </>
    ),
    number: true,
  },
  {
    label: { ...terms.tolerance, text: 'Tolerance ±' },
    cell: (row) => (
      <>
        <Figure value={row.tolerance_deg} unit="cam_deg" bare /> {row.tolerance_assumed === 'yes' ? <Assumed /> : null}
      </>
    ),
    number: true,
  },
  {
    label: resultLabel('timing', 'phasing_verdict'),
    cell: (row) => (
      <Judged verdict={row.phasing_verdict} decision={row.phasing_decision} uncertainty={row.error_uncertainty_deg} />
    ),
  },
  {
    label: terms.readFrom,
    cell: (row) => (
      <>
        {place(row.file, row.row_no)}
        {row.instrument_id === null ? null : <span className="under">gauge {row.instrument_id}</span>}
      </>
    ),
    source: true,
  },
];

/** Lift to port closure of the reference element, run by run, and the phasing in one line each. */
export function Timing({ id, card }: { id: string; card: JobCard }): ReactElement {
  const reference = /^\d+/.exec(card.firing_order)?.[0] ?? '1';
  return (
    <section className="section" aria-labelledby="timing">
      <h2 id="timing">Timing of the reference, element {reference}</h2>
      <Answer asked={useAsk(jobTiming, { id })} none="No closure was read in this job.">
        {(rows) => (
          <div className="bench-sheet">
            <Sheet
              caption="Timing and phasing, run by run"
              hideCaption
              tall
              columns={columnsFor(card.adjuster)}
              rows={rows}
              rowKey={(row) => String(row.run)}
            />
          </div>
        )}
      </Answer>
      <Formulas of={['lift', 'lift_band', 'lift_error', 'lift_change', 'lift_rate', 'phase_tolerance']} />
    </section>
  );
}
