'use client';

import type { ReactElement } from 'react';
import { jobLeakage, type JobLeakage } from '../../lib/store/questions/jobLeakage';
import { jobRetention, type JobRetention } from '../../lib/store/questions/jobRetention';
import { percent } from '../../lib/words/figures';
import { resultLabel } from '../../lib/words/labels';
import { clearanceWords } from '../../lib/words/plan';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Figure, Written } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { Formulas } from './Formulas';

const retentionColumns: readonly SheetColumn<JobRetention>[] = [
  { label: resultLabel('retention', 'run'), cell: (row) => row.run, number: true },
  { label: resultLabel('retention', 'element'), cell: (row) => row.element, number: true },
  {
    label: { ...resultLabel('retention', 'low_point'), text: 'Low-speed point' },
    cell: (row) => row.low_test_point ?? '–',
  },
  {
    label: { ...resultLabel('retention', 'rated_point'), text: 'Rated-speed point' },
    cell: (row) => row.rated_test_point ?? '–',
  },
  {
    label: resultLabel('retention', 'low_mm3'),
    cell: (row) => <Figure value={row.low_mm3} unit="mm3_per_stroke" bare />,
    number: true,
  },
  {
    label: resultLabel('retention', 'rated_mm3'),
    cell: (row) => <Figure value={row.rated_mm3} unit="mm3_per_stroke" bare />,
    number: true,
  },
  { label: resultLabel('retention', 'retention'), cell: (row) => percent(row.retention, 1), number: true },
];

const leakageColumns: readonly SheetColumn<JobLeakage>[] = [
  { label: resultLabel('leakage', 'run'), cell: (row) => row.run, number: true },
  { label: resultLabel('leakage', 'element'), cell: (row) => row.element, number: true },
  {
    label: resultLabel('leakage', 'rack_mm'),
    cell: (row) => <Figure value={row.rack_mm} unit="mm" bare />,
    number: true,
  },
  { label: resultLabel('leakage', 'speeds'), cell: (row) => row.speeds, number: true },
  {
    label: resultLabel('leakage', 'intercept_mm3'),
    cell: (row) => <Figure value={row.intercept_mm3} unit="mm3_per_stroke" bare />,
    number: true,
  },
  {
    label: resultLabel('leakage', 'slope_mm3_rpm'),
    cell: (row) => <Figure value={row.slope_mm3_rpm} unit="leak_slope" />,
    number: true,
  },
  {
    label: { ...resultLabel('leakage', 'clearance_um'), unit: null },
    cell: (row) => <Written>{(write) => clearanceWords(row.clearance_um, write)}</Written>,
    number: true,
  },
];

/** Evidence of wear in this job, never proof of it: retention, leak slope, equivalent clearance. */
export function Wear({ id }: { id: string }): ReactElement {
  return (
    <section className="section" aria-labelledby="retention">
      <h2 id="retention">Wear</h2>
      <p className="prose">
        Evidence, not proof: fluid temperature, delivery valves and the reading of small draws move these figures too.
        The clearance is what would pass the leak slope through an even gap; an uneven one passes more, so it is an
        upper bound.
      </p>
      <Answer asked={useAsk(jobRetention, { id })} none="No draws at low and at rated speed with the same rack.">
        {(rows) => (
          <Sheet
            caption="Low-speed retention"
            columns={retentionColumns}
            rows={rows}
            rowKey={(row) => `${row.run} ${row.element} ${row.low_test_point ?? ''} ${row.rated_test_point ?? ''}`}
          />
        )}
      </Answer>
      <Answer asked={useAsk(jobLeakage, { id })} none="No element was drawn at two speeds with the same rack.">
        {(rows) => (
          <Sheet
            caption="Leak slope over the speeds drawn"
            columns={leakageColumns}
            rows={rows}
            rowKey={(row) => `${row.run} ${row.element} ${row.rack_mm}`}
          />
        )}
      </Answer>
      <Formulas of={['retention']} />
    </section>
  );
}
