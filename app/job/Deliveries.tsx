'use client';

import { useCallback, type ReactElement } from 'react';
import { deliveriesPlot } from '../../lib/charts/deliveries';
import type { Room } from '../../lib/charts/frame';
import { jobDeliveries, type JobDelivery } from '../../lib/store/questions/jobDeliveries';
import { jobDraws, type JobDraw } from '../../lib/store/questions/jobDraws';
import { jobPoints, type JobPoint } from '../../lib/store/questions/jobPoints';
import { counted, type Writer } from '../../lib/words/figures';
import { decisionWords } from '../../lib/words/plan';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Assumed, Figure } from '../_shell/Figure';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Sheet } from '../_shell/Sheet';
import { useUnits } from '../_shell/useUnits';
import { deliveryColumns, drawColumns, pointColumns } from './deliveryColumns';
import { Formulas } from './Formulas';
import { place } from './place';

const range = ({ figure }: Writer, low: number | null, high: number | null, unit: 'celsius' | 'kpa'): string | null =>
  low === null && high === null
    ? null
    : low === null
      ? `up to ${figure(high, unit)}`
      : high === null
        ? `from ${figure(low, unit)}`
        : `${figure(low, unit, { bare: true })} to ${figure(high, unit)}`;

/** The mean at the reference temperature, as a line of its own. */
function AtReference({ point }: { point: JobPoint }): ReactElement | null {
  const { figure } = useUnits();
  if (point.mean_at_reference_mm3 === null) return null;
  return (
    <p>
      Brought to {figure(point.reference_c, 'celsius')}
      {point.reference_assumed === 'yes' ? (
        <>
          {' '}
          <Assumed />
        </>
      ) : null}
      : mean <Figure value={point.mean_at_reference_mm3} unit="mm3_per_stroke" decimals={2} />, as read{' '}
      <Figure value={point.mean_mm3} unit="mm3_per_stroke" decimals={2} />. The verdict rests on the delivery as read.
    </p>
  );
}

/** What a draw must lie in to count. */
function Windows({ point }: { point: JobPoint }): ReactElement {
  const write = useUnits();
  const { figure } = write;
  const fluid = range(write, point.fluid_low_c, point.fluid_high_c, 'celsius');
  const feed = range(write, point.feed_low_kpa, point.feed_high_kpa, 'kpa');
  const rack =
    point.rack_mm === null
      ? null
      : point.rack_tol_mm === null
        ? `rack ${figure(point.rack_mm, 'mm')}, not checked`
        : `rack ${figure(point.rack_mm, 'mm', { bare: true })} ± ${figure(point.rack_tol_mm, 'mm')}`;
  return (
    <p className="small">
      A draw counts at {figure(point.speed_rpm, 'rpm')}
      {point.speed_tol_rpm === null ? null : ` ± ${figure(point.speed_tol_rpm, 'rpm')}`}
      {point.speed_tolerance_assumed === 'yes' ? (
        <>
          {' '}
          <Assumed>speed window assumed</Assumed>
        </>
      ) : null}
      {rack === null ? null : `, ${rack}`}
      {fluid === null ? null : `, fluid ${fluid}`}
      {feed === null ? null : `, feed ${feed}`}. Limits and windows from {place(point.file, point.row_no)}.
    </p>
  );
}

interface PointProps {
  readonly points: readonly JobPoint[];
  readonly deliveries: readonly JobDelivery[];
  readonly draws: readonly JobDraw[];
}

function headline(point: JobPoint, { figure }: Writer): string {
  const mean = point.mean_mm3 === null ? 'no mean' : `mean ${figure(point.mean_mm3, 'mm3_per_stroke')}`;
  const words = decisionWords(point.verdict, point.decision, point.mean_uncertainty_mm3);
  return `${point.test_point}, run ${point.run}: ${mean}, ${point.verdict}${words === '' ? '' : `; ${words}`}`;
}

interface PlotProps {
  readonly point: JobPoint;
  readonly deliveries: readonly JobDelivery[];
  readonly draws: readonly JobDraw[];
}

function PointFrame({ point, deliveries, draws }: PlotProps): ReactElement {
  const write = useUnits();
  const draw = useCallback(
    (room: Room) =>
      deliveriesPlot(
        deliveries,
        draws.map((one) => ({ ...one, counts: one.reasons === null })),
        { low: point.low_mm3, high: point.high_mm3 },
        room,
      ),
    [deliveries, draws, point],
  );
  return (
    <Frame
      title={headline(point, write)}
      n={`${counted(draws.length, 'draw')}, ${draws.filter((one) => one.reasons !== null).length} of them do not count`}
      method="Each bar ends at the mean of the element's draws that count and begins at the middle of the band, or at the mean of the elements without one. Broken lines: the band of the test point. Upright line: expanded uncertainty from graduate and repeats, where it is stated. Ring: the same delivery at the reference temperature. The verdict rests on the mean of the elements and on their spread; one element beyond the band is marked and does not decide."
      keys={
        <Keys
          marks={[
            ['bar', 'delivery'],
            ['blue dot', 'in the band'],
            ['diamond', 'outside the band'],
            ['tick', 'one draw'],
            ['grey dot', 'at reference temperature'],
            ['cross', 'draw that does not count'],
            ['limit', 'band'],
          ]}
        />
      }
      table={
        <Sheet
          caption={`Deliveries at ${point.test_point}`}
          hideCaption
          tall
          columns={deliveryColumns}
          rows={deliveries}
          rowKey={(row) => `${row.run} ${row.element}`}
          mark={(row) => (row.verdict === 'out' ? 'out' : null)}
        />
      }
      draw={draw}
    />
  );
}

function TestPoint({ points, deliveries, draws }: PointProps): ReactElement | null {
  const last = points.at(-1);
  if (last === undefined) return null;
  const name = last.test_point;
  return (
    <div className="stack">
      <PointFrame point={last} deliveries={deliveries} draws={draws} />
      <AtReference point={last} />
      <Windows point={last} />
      <div className="bench-sheet">
        <Sheet
          caption={`${name}: mean and spread, run by run`}
          tall
          columns={pointColumns}
          rows={points}
          rowKey={(row) => String(row.run)}
          mark={(row) => (row.verdict === 'out' ? 'out' : null)}
        />
      </div>
      <details className="block">
        <summary>
          {counted(draws.length, 'draw')} at {name}, as read
        </summary>
        <Sheet
          caption={`Draws at ${name}`}
          hideCaption
          columns={drawColumns}
          rows={draws}
          rowKey={(row) => `${row.run} ${row.element} ${row.repeat}`}
          mark={(row) => (row.reasons === null ? null : 'excluded')}
        />
      </details>
    </div>
  );
}

/** Draws, deliveries and verdicts, test point by test point in the order of work. */
export function Deliveries({ id }: { id: string }): ReactElement {
  const asked = useAsk(jobPoints, { id });
  const { rows: deliveries } = useAsk(jobDeliveries, { id });
  const { rows: draws } = useAsk(jobDraws, { id });
  return (
    <section className="section" aria-labelledby="deliveries">
      <h2 id="deliveries">Deliveries</h2>
      <Answer asked={asked} none="No draw was taken in this job.">
        {(rows) =>
          [...new Set(rows.map((row) => row.point))].map((point) => (
            <TestPoint
              key={point}
              points={rows.filter((row) => row.point === point)}
              deliveries={(deliveries ?? []).filter((row) => row.point === point)}
              draws={(draws ?? []).filter((row) => row.point === point)}
            />
          ))
        }
      </Answer>
      <Formulas of={['delivery', 'repeat_range', 'window', 'mean', 'deviation', 'spread', 'retention']} />
    </section>
  );
}
