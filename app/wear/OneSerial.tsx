'use client';

import Link from 'next/link';
import { useCallback, useMemo, type ReactElement } from 'react';
import { signed, type Room } from '../../lib/charts/frame';
import { visitsPlot, type VisitRow, type VisitStyle } from '../../lib/charts/visits';
import { visitReadings, type VisitReading } from '../../lib/store/questions/visitReadings';
import { visits, type Visit } from '../../lib/store/questions/visits';
import { axis, counted, day, figure } from '../../lib/words/figures';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Figure } from '../_shell/Figure';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { address, useFilters } from '../_shell/useFilters';
import { FirstPass, Verdict } from '../_shell/Verdict';

const write = (value: number | null, style: VisitStyle): string => (value === null ? '–' : style.write(value));

function tableColumns(style: VisitStyle, words: readonly [string, string]): readonly SheetColumn<VisitRow>[] {
  return [
    { label: resultLabel('phasing', 'element'), cell: (row) => row.element, number: true },
    { label: logLabel('jobs', 'received_on'), cell: (row) => day(row.received_on), number: true },
    { label: terms.asReceived, head: words[0], cell: (row) => write(row.received, style), number: true },
    { label: terms.asLeft, head: words[1], cell: (row) => write(row.left, style), number: true },
  ];
}

interface PlotProps {
  readonly rows: readonly VisitRow[];
  readonly style: VisitStyle;
  readonly title: string;
  readonly method: string;
  /** What the filled and the open marks stand for. */
  readonly words: readonly [string, string];
}

function VisitsFrame({ rows, style, title, method, words }: PlotProps): ReactElement {
  const draw = useCallback((room: Room) => visitsPlot(rows, style, room), [rows, style]);
  const n = rows.filter((row) => row.received !== null || row.left !== null).length;
  if (n === 0) return <Note>{title}: nothing was read at any visit.</Note>;
  const open = rows.some((row) => row.left !== null);
  return (
    <Frame
      title={title}
      n={counted(n, 'element reading')}
      method={method}
      keys={<Keys marks={[['blue dot', words[0]], ...(open ? [['grey dot', words[1]] as const] : [])]} />}
      table={
        <Sheet
          caption={title}
          hideCaption
          columns={tableColumns(style, words)}
          rows={rows}
          rowKey={(row) => `${row.element} ${row.received_on}`}
        />
      }
      draw={draw}
    />
  );
}

const retentionStyle: VisitStyle = {
  label: 'Low-speed retention (%)',
  write: (value) => figure(value, 'percent'),
  tickFormat: '~f',
  limits: [],
  zero: false,
};
const stackStyle: VisitStyle = {
  label: axis('Shim stack', 'mm'),
  write: (value) => figure(value, 'mm'),
  tickFormat: '.2f',
  limits: [],
  zero: false,
};

function Plots({ rows }: { rows: readonly VisitReading[] }): ReactElement {
  const tolerance = rows.find((row) => row.tolerance_deg !== null)?.tolerance_deg ?? null;
  const errorStyle = useMemo(
    (): VisitStyle => ({
      label: axis('Phase error', 'cam_deg'),
      write: (value) => figure(value, 'cam_deg', { sign: true }),
      tickFormat: signed,
      limits: tolerance === null ? [] : [-tolerance, tolerance],
      zero: true,
    }),
    [tolerance],
  );
  const [kept, stacks, errors] = useMemo(() => {
    const of = (
      received: (row: VisitReading) => number | null,
      left: (row: VisitReading) => number | null,
    ): VisitRow[] =>
      rows.map((row) => ({
        element: row.element,
        received_on: row.received_on,
        received: received(row),
        left: left(row),
      }));
    const inPercent = (share: number | null): number | null => (share === null ? null : 100 * share);
    return [
      of(
        (row) => inPercent(row.retention_received),
        (row) => inPercent(row.retention_left),
      ),
      of(
        (row) => row.stack_before_mm,
        (row) => row.stack_after_mm,
      ),
      of(
        (row) => row.error_received_deg,
        () => null,
      ),
    ];
  }, [rows]);
  return (
    <>
      <VisitsFrame
        rows={kept}
        style={retentionStyle}
        title="Low-speed retention of each element over the visits"
        method="Delivery at low speed over delivery at rated speed, same rack. It falls as plunger and barrel wear; new ones bring it back."
        words={['as received', 'as left']}
      />
      <VisitsFrame
        rows={stacks}
        style={stackStyle}
        title="Shim stack of each element over the visits"
        method="Stack found before the first change of a job and left after its last, of a split pair the first half. A stack that keeps shrinking on one element speaks for a wearing cam, roller or tappet."
        words={['before', 'after']}
      />
      <VisitsFrame
        rows={errors}
        style={errorStyle}
        title="Phase error of each element as received, over the visits"
        method={`Run 0. Minus is early, plus is late.${tolerance === null ? '' : ` Broken lines: tolerance, ±${figure(tolerance, 'cam_deg')}.`} Diamond where beyond it.`}
        words={['as received', '']}
      />
    </>
  );
}

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
            <Answer asked={readings} none="Its jobs have no readings.">
              {(found) => <Plots rows={found} />}
            </Answer>
          </>
        )}
      </Answer>
    </section>
  );
}
