'use client';

import type { ReactElement } from 'react';
import type { Unit } from '../../lib/units/units';
import { jobGovernor, type JobGovernor } from '../../lib/store/questions/jobGovernor';
import { jobGovernorChecks, type JobGovernorCheck } from '../../lib/store/questions/jobGovernorChecks';
import { counted, type Writer } from '../../lib/words/figures';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Figure, Written } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { Verdict } from '../_shell/Verdict';
import { GovernorCurves } from './GovernorCurves';
import { place } from './place';

const NONE: readonly JobGovernor[] = [];

const atOf = ({ at_rpm, at_boost_kpa }: JobGovernorCheck, { figure }: Writer): string =>
  [
    ...(at_rpm === null ? [] : [figure(at_rpm, 'rpm')]),
    ...(at_boost_kpa === null ? [] : [`${figure(at_boost_kpa, 'kpa')} boost`]),
  ].join(', ') || '–';

const checkColumns: readonly SheetColumn<JobGovernorCheck>[] = [
  { label: logLabel('governor', 'check_id'), cell: (row) => row.check_id ?? '–' },
  { label: resultLabel('governor_checks', 'run'), cell: (row) => row.run, number: true },
  {
    label: { ...resultLabel('governor_checks', 'at_rpm'), text: 'At', unit: null },
    cell: (row) => <Written>{(write) => atOf(row, write)}</Written>,
  },
  {
    label: { ...resultLabel('governor_checks', 'value'), unit: null },
    cell: (row) => <Figure value={row.value} unit={row.unit} within={[row.low, row.high]} />,
    number: true,
  },
  {
    label: terms.bandAllowed,
    cell: (row) => <Written>{(write) => write.beside(row.value, [row.low, row.high], row.unit).band}</Written>,
    number: true,
  },
  {
    label: resultLabel('governor_checks', 'basis'),
    cell: (row) => (row.basis === 'not measured' ? row.basis : `${row.basis}, ${counted(row.readings, 'reading')}`),
  },
  { label: resultLabel('governor_checks', 'verdict'), cell: (row) => <Verdict verdict={row.verdict} /> },
];

const read = (name: 'speed_rpm' | 'rack_mm' | 'boost_kpa', unit: Unit): SheetColumn<JobGovernor> => ({
  label: logLabel('governor', name),
  cell: (row) => <Figure value={row[name]} unit={unit} bare />,
  number: true,
});
const readingColumns: readonly SheetColumn<JobGovernor>[] = [
  { label: logLabel('governor', 'check_id'), cell: (row) => row.check_id },
  { label: logLabel('governor', 'run'), cell: (row) => row.run, number: true },
  read('speed_rpm', 'rpm'),
  read('rack_mm', 'mm'),
  read('boost_kpa', 'kpa'),
  { label: logLabel('governor', 'lever'), cell: (row) => row.lever ?? '–' },
  { label: terms.readFrom, cell: (row) => place(row.file, row.row_no), source: true },
];

/** Governor and accessories as judged checks, with the readings behind them. */
export function Governor({ id }: { id: string }): ReactElement {
  const { rows: readings } = useAsk(jobGovernor, { id });
  return (
    <section className="section" aria-labelledby="governor">
      <h2 id="governor">Governor and accessories</h2>
      <Answer
        asked={useAsk(jobGovernorChecks, { id })}
        none="No check of the governor or of an accessory was judged in this job."
      >
        {(rows) => (
          <>
            <GovernorCurves checks={rows} readings={readings ?? NONE} />
            <Sheet
              caption="Checks of the governor and its accessories"
              hideCaption
              tall
              columns={checkColumns}
              rows={rows}
              rowKey={(row) =>
                `${row.run} ${row.check_id ?? ''} ${row.at_rpm} ${row.at_boost_kpa} ${row.low} ${row.high}`
              }
              mark={(row) => (row.verdict === 'out' ? 'out' : null)}
            />
          </>
        )}
      </Answer>
      {readings === null || readings.length === 0 ? null : (
        <details className="block">
          <summary>{counted(readings.length, 'reading')} as written down</summary>
          <Sheet
            caption="Governor readings"
            hideCaption
            columns={readingColumns}
            rows={readings}
            rowKey={(row) => `${row.file} ${row.row_no}`}
          />
        </details>
      )}
    </section>
  );
}
