'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import { ASSUMED_TOLERANCE_DEG } from '../../lib/calc/timing/phasing';
import type { Room } from '../../lib/charts/frame';
import { roomPlot } from '../../lib/charts/roomLeft';
import type { RoomFigure } from '../../lib/store/leftPlaces';
import {
  FEWEST_LEFT,
  isPast,
  isTold,
  leastRoom,
  roomLeft,
  SHARE_HELD,
  type Reach,
  type RoomLeft as Row,
  type RoomOfMany,
  type RoomTold,
} from '../../lib/store/questions/roomLeft';
import { count, counted, inLogUnits, NO_FIGURE, percentRange } from '../../lib/words/figures';
import { logLabel, terms, type Label } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';

const judged: Readonly<Record<RoomFigure, Label>> = {
  lift: terms.roomLift,
  phasing: terms.roomPhasing,
  delivery: terms.roomDelivery,
  spread: terms.roomSpread,
};
const nameOf = ({ figure }: Row): string => judged[figure].text;
const rowName = (row: Row): string => `${nameOf(row).toLowerCase()} on ${row.pump_model}`;

const size = (value: number): string => inLogUnits.figure(value, 'ratio', { decimals: 2 });
/** A place between two limits. */
const place = (value: number): string => inLogUnits.figure(value, 'ratio', { decimals: 2, sign: true });
const reach = ({ low, high }: Reach): string =>
  low === null ? `up to ${size(high)}` : `${place(low)} to ${place(high)}`;
const index = ({ value, low, high }: { value: number; low: number; high: number }): string =>
  `${size(value)}, ${size(low)} to ${size(high)}`;

/** Of the figures seen: all of them where they are too few to leave any out, with the share that they hold then. */
const seen = ({ counted: { share, ...ends } }: RoomTold): string =>
  share < SHARE_HELD ? `${reach(ends)} (${count(Math.floor(100 * share))} of 100)` : reach(ends);
const outside = ({ outside: { k, n, low, high } }: Row): string =>
  low === null || high === null ? NO_FIGURE : `${count(k)} of ${count(n)}, ${percentRange(low, high)}`;

const THIN = 'not enough data';
const columns: readonly SheetColumn<Row>[] = [
  { label: terms.roomFigure, cell: nameOf },
  { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
  { label: terms.n, cell: (row) => count(row.n), number: true },
  { label: terms.roomMean, cell: (row) => (row.sides === 'two' ? place(row.mean) : size(row.mean)), number: true },
  { label: terms.roomScatter, cell: ({ sd }) => (sd === null ? NO_FIGURE : size(sd)), number: true },
  {
    label: terms.cp,
    cell: ({ told }) =>
      told === null
        ? THIN
        : told.capability.kind === 'told' && told.capability.cp !== null
          ? index(told.capability.cp)
          : NO_FIGURE,
    number: true,
  },
  {
    label: terms.cpk,
    cell: ({ told }) =>
      told === null ? THIN : told.capability.kind === 'told' ? index(told.capability.cpk) : 'no scatter',
    number: true,
  },
  { label: terms.roomReckoned, cell: ({ told }) => (told === null ? THIN : reach(told.reckoned)), number: true },
  { label: terms.roomCounted, cell: ({ told }) => (told === null ? THIN : seen(told)), number: true },
  { label: terms.leftOutside, cell: outside, number: true },
];

const note = (row: RoomOfMany): string =>
  [
    `${row.pump_model}, ${nameOf(row).toLowerCase()}: mean ${size(row.mean)}`,
    `by the scatter: ${reach(row.told.reckoned)}`,
    `as counted: ${seen(row.told)}`,
    `left outside: ${outside(row)}`,
  ].join('\n');

function Lead({ room }: { room: RoomOfMany }): ReactElement {
  const {
    capability,
    counted: { low, high, share },
  } = room.told;
  return (
    <p>
      <strong>Least room: {rowName(room)}.</strong> As counted, at least {count(Math.floor(100 * share))} of 100 such
      pumps leave{' '}
      {low === null
        ? `at ${size(high)} of what is allowed or less`
        : `between ${place(low)} and ${place(high)}, −1 and +1 being the limits`}
      ; left outside: {outside(room)}.{capability.kind === 'told' ? ` Cpk ${index(capability.cpk)}.` : ''}
    </p>
  );
}

function RoomFrame({ rows }: { rows: readonly Row[] }): ReactElement {
  const write = useUnits();
  const told = useMemo(() => rows.filter(isTold), [rows]);
  const draw = useCallback(
    (room: Room) =>
      roomPlot(
        told.map((row) => ({
          figure: nameOf(row),
          name: row.pump_model,
          n: row.n,
          mean: row.mean,
          reckoned: row.told.reckoned,
          counted: row.told.counted,
          isPast: isPast(row),
          note: note(row),
        })),
        room,
      ),
    [told],
  );
  const thin = rows
    .filter((row) => !isTold(row))
    .map((row) => `${rowName(row)} ${count(row.n)}`)
    .join(', ');
  const least = leastRoom(told);
  const total = rows.reduce((sum, row) => sum + row.n, 0);
  const assumed = rows.reduce((sum, row) => sum + row.assumed, 0);
  if (least === undefined) {
    return (
      <Note>
        Not enough data: {FEWEST_LEFT} jobs of a model with the figure read after assembly are the least; there are:{' '}
        {thin}.
      </Note>
    );
  }
  const title = `Least room is left in the ${rowName(least)}`;
  return (
    <>
      <Lead room={least} />
      <Frame
        title={title}
        n={`${counted(total, 'figure')} of ${counted(new Set(rows.map((row) => row.pump_model)).size, 'model')}`}
        method={
          `One figure a job, of its last run after assembly, as a part of its own band, so that sheets with other bands go together: lift and mean ` +
          `delivery (base point) from −1 to +1; the largest phase error by its size, and the spread, up to 1. Of several elements only the one furthest off ` +
          `or their mean counts, since elements of one pump are not independent; a pump that came in twice counts twice. Rounds of the benches are ` +
          `left out. Bar: 95 of 100 such pumps lie there at 95 % confidence if the figure is spread normally (tolerance interval). Line: the same between ` +
          `two of the figures seen, whatever their spread; it takes 93 jobs (59 with one limit), with fewer it runs from end to end and the ` +
          `table says what it holds. ${FEWEST_LEFT} jobs are the least.` +
          (thin === '' ? '' : ` Not enough data: ${thin}.`) +
          (assumed === 0
            ? ''
            : ` Assumed: ±${write.figure(ASSUMED_TOLERANCE_DEG, 'cam_deg')} in ${counted(assumed, 'job')} whose sheet states no tolerance of phasing.`)
        }
        keys={
          <Keys
            marks={[
              ['bar', '95 of 100 by the scatter'],
              ['blue line', '95 of 100 as counted'],
              ['blue dot', 'mean'],
              ['diamond', 'counted ones reach past a limit'],
              ['limit', 'limits of the band'],
            ]}
          />
        }
        table={
          <Sheet
            caption={title}
            hideCaption
            columns={columns}
            rows={rows}
            rowKey={(row) => `${row.figure} ${row.pump_model}`}
          />
        }
        draw={draw}
      />
    </>
  );
}

/** How much of the specification's bands the shop's work takes up as pumps leave. */
export function RoomLeft(): ReactElement {
  const [filters] = useFilters();
  const asked = useAsk(roomLeft, filters);
  return (
    <section className="section" aria-labelledby="room">
      <h2 id="room">Room left in the tolerance</h2>
      <Answer asked={asked} none="No job that matches was read after assembly against a band.">
        {(rows) => <RoomFrame rows={rows} />}
      </Answer>
      <p className="quiet prose">
        A figure that is adjusted until it is in is cut off at its limit. The bar, Cp and Cpk do not know that: a bar
        past the limit, or a Cpk below 1, does not say that pumps left outside, which is counted for itself. It says
        that the work uses up its band, so that little is left for the gauge and for wear. Where bar and line differ, go
        by the line. One slip of the pen makes a bar wide, and with fewer than some 150 jobs the line too: look at the
        jobs that left outside first. The specification stays the judge of each pump.
      </p>
    </section>
  );
}
