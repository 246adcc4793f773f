'use client';

import { useCallback, type ReactElement } from 'react';
import { elementQuartersPlot } from '../../lib/charts/byQuarter';
import type { Room } from '../../lib/charts/frame';
import { phaseErrorsByQuarter, type ErrorQuarter } from '../../lib/store/questions/phaseErrorsByQuarter';
import { shimChangesByQuarter, type QuarterOfElement } from '../../lib/store/questions/shimChangesByQuarter';
import { count, counted, quarterName } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { adjusterWords } from '../../lib/words/adjusters';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Adjustment, Written } from '../_shell/Figure';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';
import { errorFigures } from './errorColumns';
import { changeStyle, errorStyle } from './styles';

const total = (rows: readonly { readonly n: number }[]): number => rows.reduce((sum, row) => sum + row.n, 0);
const key = (row: { element: number; quarter: string }): string => `${row.element} ${row.quarter}`;

const changeColumns: readonly SheetColumn<QuarterOfElement>[] = [
  { label: logLabel('shims', 'element'), cell: (row) => row.element, number: true },
  { label: terms.quarter, cell: (row) => quarterName(row.quarter) },
  { label: terms.n, cell: (row) => count(row.n), number: true },
  {
    label: terms.median,
    head: 'median change',
    cell: (row) => <Adjustment mm={row.median} adjuster={row.adjuster} />,
    number: true,
  },
  {
    label: terms.middleHalf,
    cell: (row) => (
      <Written>
        {({ figure }) => `${figure(row.q1, 'shim', { sign: true })} to ${figure(row.q3, 'shim', { sign: true })}`}
      </Written>
    ),
    number: true,
  },
];

function Changes({ rows, model }: { rows: readonly QuarterOfElement[]; model: string }): ReactElement {
  const words = adjusterWords(rows.map((row) => row.adjuster));
  const write = useUnits();
  const draw = useCallback((room: Room) => elementQuartersPlot(rows, changeStyle(write), room), [rows, write]);
  return (
    <Frame
      title={`${model}: change made to each element's ${words.thing}, quarter by quarter`}
      n={counted(total(rows), 'change')}
      method={`Quarters by the day received; ${words.alone}. ${words.signs} Bar: the middle half. Dot: the median, open where it rests on fewer than five changes.`}
      keys={
        <Keys
          marks={[
            ['blue dot', 'median'],
            ['bar', 'middle half'],
            ['open dot', 'fewer than five'],
          ]}
        />
      }
      table={
        <Sheet
          caption="Shim changes by element and quarter"
          hideCaption
          columns={changeColumns}
          rows={rows}
          rowKey={key}
        />
      }
      draw={draw}
    />
  );
}

export function ElementChanges({ model }: { model: string }): ReactElement {
  const [filters] = useFilters();
  return (
    <Answer
      asked={useAsk(shimChangesByQuarter, filters)}
      none={`Nothing was changed to set the closures of ${model} in the jobs that match.`}
    >
      {(rows) => <Changes rows={rows} model={model} />}
    </Answer>
  );
}

const errorColumns: readonly SheetColumn<ErrorQuarter>[] = [
  { label: logLabel('closures', 'element'), cell: (row) => row.element, number: true },
  { label: terms.quarter, cell: (row) => quarterName(row.quarter) },
  ...errorFigures,
];

function Errors({ rows, model }: { rows: readonly ErrorQuarter[]; model: string }): ReactElement {
  const tolerance = Math.max(...rows.map((row) => row.tolerance));
  const write = useUnits();
  const draw = useCallback(
    (room: Room) => elementQuartersPlot(rows, errorStyle(tolerance, write), room),
    [rows, tolerance, write],
  );
  return (
    <Frame
      title={`${model}: phase error of each element as received, quarter by quarter`}
      n={counted(total(rows), 'closure')}
      method={`Run 0, before anything was changed, by the day received. Minus is early, plus is late; the reference element is zero by definition. Broken lines: the widest tolerance among these jobs, ±${write.figure(tolerance, 'cam_deg')}. Warm where the median itself is beyond it.`}
      keys={
        <Keys
          marks={[
            ['blue dot', 'median'],
            ['bar', 'middle half'],
            ['open dot', 'fewer than five'],
            ['limit', 'tolerance'],
          ]}
        />
      }
      table={
        <Sheet
          caption="Phase errors by element and quarter"
          hideCaption
          columns={errorColumns}
          rows={rows}
          rowKey={key}
        />
      }
      draw={draw}
    />
  );
}

export function ElementErrors({ model }: { model: string }): ReactElement {
  const [filters] = useFilters();
  return (
    <Answer
      asked={useAsk(phaseErrorsByQuarter, filters)}
      none={`No closure of ${model} was read as received in the jobs that match.`}
    >
      {(rows) => <Errors rows={rows} model={model} />}
    </Answer>
  );
}
