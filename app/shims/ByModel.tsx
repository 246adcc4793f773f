'use client';

import { useCallback, type ReactElement } from 'react';
import { modelElementsPlot, type ModelElementRow } from '../../lib/charts/byModel';
import type { Room } from '../../lib/charts/frame';
import type { ErrorOfElement } from '../../lib/store/questions/phaseErrorsByModel';
import { shimChangesByModel, type ElementOfModel } from '../../lib/store/questions/shimChangesByModel';
import { count, counted } from '../../lib/words/figures';
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
import { errorColumns } from './errorColumns';
import { changeStyle, errorStyle } from './styles';

const total = (rows: readonly { readonly n: number }[]): number => rows.reduce((sum, row) => sum + row.n, 0);
const key = (row: { pump_model: string; element: number }): string => `${row.pump_model} ${row.element}`;

const changeColumns: readonly SheetColumn<ElementOfModel>[] = [
  { label: logLabel('jobs', 'pump_model'), cell: (row) => row.pump_model },
  { label: logLabel('shims', 'element'), cell: (row) => row.element, number: true },
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

function Changes({ rows }: { rows: readonly ElementOfModel[] }): ReactElement {
  const words = adjusterWords(rows.map((row) => row.adjuster));
  const write = useUnits();
  const draw = useCallback((room: Room) => modelElementsPlot(rows, changeStyle(write), room), [rows, write]);
  return (
    <Frame
      title={`Change made to each element's ${words.thing}, by model`}
      n={counted(total(rows), 'change')}
      method={`All changes in the picked jobs; ${words.alone}. ${words.signs} Bar: the middle half. Dot: the median, open where it rests on fewer than five changes.`}
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
          caption="Shim changes by model and element"
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

export function ModelChanges(): ReactElement {
  const [filters] = useFilters();
  return (
    <Answer
      asked={useAsk(shimChangesByModel, filters)}
      none="No stack and no tappet screw was changed in the jobs that match."
    >
      {(rows) => <Changes rows={rows} />}
    </Answer>
  );
}

function Errors({ rows }: { rows: readonly ErrorOfElement[] }): ReactElement {
  const tolerance = Math.max(...rows.map((row) => row.tolerance));
  const write = useUnits();
  const draw = useCallback(
    (room: Room) => modelElementsPlot(rows satisfies readonly ModelElementRow[], errorStyle(tolerance, write), room),
    [rows, tolerance, write],
  );
  return (
    <Frame
      title="Phase error of each element as received, by model"
      n={counted(total(rows), 'closure')}
      method={`Run 0, before anything was changed. Minus is early, plus is late; the reference element is zero by definition. Broken lines: the widest tolerance among these jobs, ±${write.figure(tolerance, 'cam_deg')}.`}
      keys={
        <Keys
          marks={[
            ['blue dot', 'median'],
            ['bar', 'middle half'],
            ['limit', 'tolerance'],
          ]}
        />
      }
      table={
        <Sheet
          caption="Phase errors by model and element"
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

interface Asked {
  readonly rows: readonly ErrorOfElement[] | null;
  readonly error: string | null;
}

export function ModelErrors({ asked }: { asked: Asked }): ReactElement {
  return (
    <Answer asked={asked} none="No closure was read as received in the jobs that match.">
      {(rows) => <Errors rows={rows} />}
    </Answer>
  );
}
