'use client';

import type { ReactElement } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';
import { jobTiming, type JobTiming } from '../../lib/store/questions/jobTiming';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Assumed, Figure, ShimChange } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { Verdict } from '../_shell/Verdict';
import { Formulas } from './Formulas';
import { place } from './place';

const columns: readonly SheetColumn<JobTiming>[] = [
  { label: resultLabel('timing', 'run'), cell: (row) => row.run, number: true },
  {
    label: logLabel('closures', 'lift_mm'),
    head: 'Lift as read',
    cell: (row) => <Figure value={row.read_lift_mm} unit="mm_fine" bare />,
    number: true,
  },
  {
    label: logLabel('closures', 'preload_mm'),
    cell: (row) => <Figure value={row.preload_mm} unit="mm_fine" bare />,
    number: true,
  },
  {
    label: resultLabel('timing', 'lift_mm'),
    cell: (row) => <Figure value={row.lift_mm} unit="mm_fine" bare />,
    number: true,
  },
  {
    label: resultLabel('timing', 'low_mm'),
    cell: (row) => <Figure value={row.low_mm} unit="mm_fine" bare />,
    number: true,
  },
  {
    label: resultLabel('timing', 'high_mm'),
    cell: (row) => <Figure value={row.high_mm} unit="mm_fine" bare />,
    number: true,
  },
  {
    label: resultLabel('timing', 'lift_error_mm'),
    cell: (row) => <Figure value={row.lift_error_mm} unit="mm_fine" sign bare />,
    number: true,
  },
  { label: resultLabel('timing', 'timing_verdict'), cell: (row) => <Verdict verdict={row.timing_verdict} /> },
  {
    label: { ...resultLabel('timing', 'shim_change_mm'), unit: null },
    cell: (row) => <ShimChange mm={row.shim_change_mm} decimals={3} />,
    number: true,
  },
  {
    label: resultLabel('timing', 'lift_rate_mm_per_deg'),
    cell: (row) => <Figure value={row.lift_rate_mm_per_deg} unit="mm_per_deg" bare />,
    number: true,
  },
  {
    label: resultLabel('timing', 'lift_rate_basis'),
    cell: (row) => (row.lift_rate_basis === 'assumed' ? <Assumed /> : row.lift_rate_basis),
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
    label: resultLabel('timing', 'worst_error_deg'),
    cell: (row) => <Figure value={row.worst_error_deg} unit="cam_deg" sign bare />,
    number: true,
  },
  {
    label: resultLabel('timing', 'worst_element'),
    cell: (row) => (row.worst_element === 0 ? '–' : row.worst_element),
    number: true,
  },
  { label: resultLabel('timing', 'phasing_verdict'), cell: (row) => <Verdict verdict={row.phasing_verdict} /> },
  { label: logLabel('closures', 'instrument_id'), cell: (row) => row.instrument_id ?? '–' },
  { label: terms.readFrom, cell: (row) => place(row.file, row.row_no), source: true },
];

/** Lift to port closure of the reference element, run by run, and the phasing in one line each. */
export function Timing({ id, card }: { id: string; card: JobCard }): ReactElement {
  const reference = /^\d+/.exec(card.firing_order)?.[0] ?? '1';
  return (
    <section className="section" aria-labelledby="timing">
      <h2 id="timing">Timing of the reference, element {reference}</h2>
      <Answer asked={useAsk(jobTiming, { id })} none="No closure was read in this job.">
        {(rows) => (
          <Sheet
            caption="Timing and phasing, run by run"
            hideCaption
            tall
            columns={columns}
            rows={rows}
            rowKey={(row) => String(row.run)}
          />
        )}
      </Answer>
      <Formulas of={['lift', 'lift_band', 'lift_error', 'lift_change', 'lift_rate', 'phase_tolerance']} />
    </section>
  );
}
