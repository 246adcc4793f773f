'use client';

import Link from 'next/link';
import type { ReactElement } from 'react';
import { visitReadings } from '../../lib/store/questions/visitReadings';
import { visits, type Visit } from '../../lib/store/questions/visits';
import { counted, day } from '../../lib/words/figures';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Figure } from '../_shell/Figure';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { address, useFilters } from '../_shell/useFilters';
import { FirstPass, Verdict } from '../_shell/Verdict';
import { Drift } from './Drift';
import { ScatterFrame, SerialPlots } from './SerialPlots';

/** One pump over its jobs. */
export function OneSerial({ serial }: { serial: string }): ReactElement {
  const [filters] = useFilters();
  const seen = useAsk(visits, { serial });
  const readings = useAsk(visitReadings, { serial });
  const columns: readonly SheetColumn<Visit>[] = [
    { label: terms.visit, cell: (row) => row.visit, number: true },
    {
      label: logLabel('jobs', 'job_id'),
      cell: (row) => <Link href={address('/job/', filters, { id: row.job_id })}>{row.job_id}</Link>,
    },
    { label: logLabel('jobs', 'received_on'), cell: (row) => day(row.received_on), number: true },
    { label: logLabel('jobs', 'work_type'), cell: (row) => row.work_type },
    { label: logLabel('jobs', 'complaint'), prose: true, cell: (row) => row.complaint ?? '–' },
    {
      label: logLabel('jobs', 'engine_hours'),
      cell: (row) => <Figure value={row.engine_hours} unit="hours" bare decimals={0} />,
      number: true,
    },
    {
      label: resultLabel('outcomes', 'received_error_deg'),
      cell: (row) => <Figure value={row.received_error_deg} unit="cam_deg" sign bare />,
      number: true,
    },
    {
      label: resultLabel('outcomes', 'left_error_deg'),
      cell: (row) => <Figure value={row.left_error_deg} unit="cam_deg" sign bare />,
      number: true,
    },
    { label: resultLabel('outcomes', 'first_pass'), cell: (row) => <FirstPass answer={row.first_pass} /> },
    { label: resultLabel('outcomes', 'as_left'), cell: (row) => <Verdict verdict={row.as_left} /> },
  ];
  return (
    <section className="section" aria-labelledby="serial">
      <h2 id="serial">Pump {serial}</h2>
      <Answer asked={seen} none={`No job of serial number ${serial} is in the log.`}>
        {(rows) => (
          <>
            <p>
              {rows[0]?.pump_model}, {counted(rows.length, 'job')} from {day(rows[0]?.received_on ?? null)} to{' '}
              {day(rows.at(-1)?.received_on ?? null)}. All its jobs are shown, whatever the filters say.
            </p>
            <Sheet
              caption={`Jobs of pump ${serial}`}
              hideCaption
              columns={columns}
              rows={rows}
              rowKey={(row) => row.job_id}
            />
            <Drift serial={serial} />
            <Answer asked={readings} none="Its jobs have no readings.">
              {(found) => <SerialPlots rows={found} />}
            </Answer>
            <ScatterFrame serial={serial} />
          </>
        )}
      </Answer>
    </section>
  );
}
