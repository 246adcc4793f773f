'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import {
  FEW_OF_QUARTER,
  foundSharesPlot,
  foundStripsPlot,
  foundTimePlot,
  quartersOf,
  stripOf,
  type FoundQuarter,
  type FoundSide,
  type FoundStyle,
} from '../../lib/charts/found';
import type { Room } from '../../lib/charts/frame';
import type { Found } from '../../lib/find/types';
import { differenceRange, measured, measureForms, plotTitle, sideRange, whereWords } from '../../lib/words/faults';
import { count, counted, day, quarterName, type Writer } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useUnits } from '../_shell/useUnits';

function styleOf(found: Found, write: Writer): FoundStyle {
  const { axis, unit, factor, kind, signed } = measureForms[found.measure];
  const shown = write.scale(unit);
  return {
    label: kind === 'share' ? `${axis} (% of jobs)` : write.axis(axis, unit),
    scale: (value) => shown(value * factor),
    write: (value) => measured(found.measure, value, write),
    signed,
    share: kind === 'share',
  };
}

/** The group first. Two lines on a telephone would not fit beside the plot, so the names are short. */
const sidesOf = ({ where, group, rest }: Found): readonly FoundSide[] => [
  { name: whereWords(where.slice(-1)), ...group },
  { name: 'the rest', ...rest },
];

function SidesTable({ found, title }: { found: Found; title: string }): ReactElement {
  const write = useUnits();
  const { measure } = found;
  const columns: readonly SheetColumn<FoundSide>[] = [
    { label: terms.faultSide, cell: (side) => side.name },
    { label: terms.n, cell: (side) => count(side.n), number: true },
    { label: terms.faultValue, cell: (side) => measured(measure, side.value, write), number: true },
    {
      label: { ...terms.interval, unit: null },
      cell: (side) => sideRange(measure, side, write),
      number: true,
    },
  ];
  return (
    <>
      <Sheet caption={title} hideCaption columns={columns} rows={sidesOf(found)} rowKey={(side) => side.name} />
      <p className="small">Difference: {differenceRange(found, write)}.</p>
    </>
  );
}

function QuarterTable({ found, title }: { found: Found; title: string }): ReactElement {
  const write = useUnits();
  const rows = useMemo(
    () => quartersOf(found.points, measureForms[found.measure].kind === 'share'),
    [found.points, found.measure],
  );
  const [group, rest] = sidesOf(found);
  const columns: readonly SheetColumn<FoundQuarter>[] = [
    { label: terms.quarter, cell: (row) => quarterName(row.quarter) },
    { label: terms.faultSide, cell: (row) => (row.inGroup ? group : rest)?.name },
    { label: terms.n, cell: (row) => count(row.n), number: true },
    { label: terms.faultValue, cell: (row) => measured(found.measure, row.value, write), number: true },
  ];
  return (
    <Sheet
      caption={title}
      hideCaption
      columns={columns}
      rows={rows}
      rowKey={(row) => `${row.quarter} ${row.inGroup ? 'group' : 'rest'}`}
    />
  );
}

/** The plot that shows a finding: over time where it began or ended on a day, else group against rest. */
export function FoundPlot({ found }: { found: Found }): ReactElement {
  const write = useUnits();
  const style = useMemo(() => styleOf(found, write), [found, write]);
  const sides = useMemo(() => sidesOf(found), [found]);
  const dated = found.since !== null || found.until !== null;
  const strip = useMemo(
    () => (dated || style.share ? null : stripOf(found.points, sides)),
    [dated, style, found.points, sides],
  );
  const draw = useCallback(
    (room: Room) => {
      if (dated) {
        const changes = [
          ...(found.since === null ? [] : [{ day: found.since.day, word: `since ${day(found.since.day)}` }]),
          ...(found.until === null ? [] : [{ day: found.until, word: `until ${day(found.until)}` }]),
        ];
        return foundTimePlot(found.points, changes, style, room);
      }
      return style.share ? foundSharesPlot(sides, style, room) : foundStripsPlot(found.points, sides, style, room);
    },
    [found, sides, style, dated],
  );
  const title = plotTitle(found);
  const noun = measureForms[found.measure].noun;
  const name = sides[0]?.name ?? '';
  const method = dated
    ? `Each quarter's ${style.share ? 'share of jobs' : 'middle (median)'}. Open: fewer than ${FEW_OF_QUARTER}. The broken line is where the change was found.`
    : strip === null
      ? 'The line through each mark is its 95 % interval: where the true share may well lie.'
      : `A point a ${noun}; the large mark is the middle, the thick line its 95 % interval.` +
        (strip.oneIn > 1 ? ` One of ${strip.oneIn} is drawn.` : '') +
        (strip.beyond > 0 ? ` ${counted(strip.beyond, noun)} beyond the ends of the axis not drawn.` : '');
  return (
    <Frame
      title={title}
      n={`${counted(found.group.n, noun)} against ${count(found.rest.n)}`}
      method={method}
      keys={
        <Keys
          marks={[['blue dot', name], ['open diamond', 'the rest'], ...(dated ? ([['limit', 'change']] as const) : [])]}
        />
      }
      table={dated ? <QuarterTable found={found} title={title} /> : <SidesTable found={found} title={title} />}
      draw={draw}
    />
  );
}
