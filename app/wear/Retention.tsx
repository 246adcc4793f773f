'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import type { Room } from '../../lib/charts/frame';
import { retentionPlot, type RetentionRow } from '../../lib/charts/retention';
import { retentionByElement } from '../../lib/store/questions/retentionByElement';
import type { RetentionQuarter } from '../../lib/store/questions/retentionByModel';
import { count, counted, percent, quarterName } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';

const columns = (name: string): readonly SheetColumn<RetentionRow>[] => [
  { label: { ...terms.visit, text: name, meaning: 'What the small plot is about.' }, cell: (row) => row.name },
  { label: terms.quarter, cell: (row) => quarterName(row.quarter) },
  { label: terms.asReceived, head: 'when', cell: (row) => row.occasion },
  { label: terms.n, cell: (row) => count(row.n), number: true },
  { label: terms.median, cell: (row) => percent(row.median, 1), number: true },
  { label: terms.band, cell: (row) => `${percent(row.p10, 1)} to ${percent(row.p90, 1)}`, number: true },
];

interface Props {
  readonly rows: readonly RetentionRow[];
  readonly title: string;
  readonly points: string;
  readonly name: string;
}

function RetentionFrame({ rows, title, points, name }: Props): ReactElement {
  const draw = useCallback((room: Room) => retentionPlot(rows, room), [rows]);
  const n = (occasion: RetentionRow['occasion']): number =>
    rows.filter((row) => row.occasion === occasion).reduce((sum, row) => sum + row.n, 0);
  return (
    <Frame
      title={title}
      n={`${counted(n('as received'), 'element')} read as received, ${count(n('as left'))} as left`}
      method={
        `Delivery at low speed over delivery at rated speed${points === '' ? '' : ` (test points ${points})`}, draws that do not ` +
        'count left out. By the quarter received. Quarters without such draws are bridged by a straight line.'
      }
      keys={
        <Keys
          marks={[
            ['blue line', 'as received, median'],
            ['band', 'as received, 10 to 90 %'],
            ['grey line', 'as left, median'],
          ]}
        />
      }
      table={
        <Sheet
          caption={title}
          hideCaption
          columns={columns(name)}
          rows={rows}
          rowKey={(row) => `${row.name} ${row.quarter} ${row.occasion}`}
        />
      }
      draw={draw}
    />
  );
}

export function ModelRetention({ rows }: { rows: readonly RetentionQuarter[] }): ReactElement {
  const named = useMemo(() => rows.map((row) => ({ ...row, name: row.pump_model })), [rows]);
  const points = [...new Set(rows.flatMap((row) => row.points?.split(', ') ?? []))].join(', ');
  return (
    <RetentionFrame
      rows={named}
      title="Low-speed retention by model, quarter by quarter"
      points={points}
      name="model"
    />
  );
}

export function ElementRetention({ model }: { model: string }): ReactElement {
  const [filters] = useFilters();
  const asked = useAsk(retentionByElement, filters);
  const named = useMemo(
    () => asked.rows?.map((row) => ({ ...row, name: `Element ${row.element}` })) ?? null,
    [asked.rows],
  );
  return (
    <Answer
      asked={{ rows: named, error: asked.error }}
      none={`No job of ${model} that matches has the draws it takes.`}
    >
      {(rows) => (
        <RetentionFrame rows={rows} title={`${model}: low-speed retention of each element`} points="" name="element" />
      )}
    </Answer>
  );
}
