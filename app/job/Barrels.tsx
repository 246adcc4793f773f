'use client';

import type { ReactElement } from 'react';
import { BarrelRow, type BarrelRowItem } from '../../lib/charts/barrelRow';
import type { Room } from '../../lib/charts/frame';
import { jobBarrelRow, type JobBarrelRow } from '../../lib/store/questions/jobBarrelRow';
import { counted } from '../../lib/words/figures';
import { resultLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Figure } from '../_shell/Figure';
import { Frame } from '../_shell/Frame';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useUnits } from '../_shell/useUnits';
import { Verdict } from '../_shell/Verdict';

const columns: readonly SheetColumn<BarrelRowItem>[] = [
  { label: resultLabel('deliveries', 'element'), cell: (row) => row.element, number: true },
  {
    label: terms.stackBefore,
    head: 'stack',
    cell: (row) => <Figure value={row.stack_mm} unit="shim" bare />,
    number: true,
  },
  { label: terms.changeMade, cell: (row) => <Figure value={row.made_mm} unit="shim" sign bare />, number: true },
  {
    label: terms.changeNeeded,
    cell: (row) => <Figure value={row.needed_mm ?? null} unit="shim" sign bare />,
    number: true,
  },
  {
    label: resultLabel('deliveries', 'mm3_per_stroke'),
    cell: (row) => <Figure value={row.mm3_per_stroke} unit="mm3_per_stroke" bare />,
    number: true,
  },
  { label: resultLabel('deliveries', 'verdict'), cell: (row) => <Verdict verdict={row.verdict} /> },
];

function Picture({
  title,
  items,
  point,
}: {
  title: string;
  items: readonly BarrelRowItem[];
  point: JobBarrelRow;
}): ReactElement {
  const write = useUnits();
  const { symbol } = write;
  const n = `${counted(items.filter((row) => row.mm3_per_stroke !== null).length, 'delivery', 'deliveries')}, ${counted(
    items.filter((row) => row.stack_mm !== null).length,
    'stack',
  )} known`;
  if (items.every((row) => row.mm3_per_stroke === null && row.stack_mm === null)) {
    return <Note>{title}: no delivery at the base point and no stack is known.</Note>;
  }
  return (
    <Frame
      title={title}
      n={n}
      method={`From the drive end. Over each barrel its delivery at test point ${point.test_point ?? 'not stated'}, ${symbol('mm3_per_stroke')}, between the limits (broken lines); under it its shim stack and the change made, ${symbol('shim')}. A stack is known where the job wrote one down.${items.some((row) => row.needed_mm !== undefined) ? " Needed: the plan after the job's first measurement." : ''}`}
      table={
        <Sheet caption={title} hideCaption tall columns={columns} rows={items} rowKey={(row) => String(row.element)} />
      }
      draw={{
        picture: ({ width }: Room) => (
          <BarrelRow
            rows={items}
            low={point.low_mm3}
            high={point.high_mm3}
            width={width}
            label={`${title}. ${n}.`}
            write={write}
          />
        ),
      }}
    />
  );
}

/** The barrels side by side, as received and as left. */
export function Barrels({ id }: { id: string }): ReactElement {
  return (
    <section className="section" aria-labelledby="barrels">
      <h2 id="barrels">Barrels side by side</h2>
      <Answer asked={useAsk(jobBarrelRow, { id })} none="The specification names no elements.">
        {(rows) => {
          const [point] = rows;
          if (point === undefined) return null;
          const received = rows.map((row) => ({
            element: row.element,
            stack_mm: row.stack_before_mm,
            made_mm: null,
            needed_mm: row.needed_mm,
            mm3_per_stroke: row.received_mm3,
            verdict: row.received_verdict,
          }));
          const left = rows.map((row) => ({
            element: row.element,
            stack_mm: row.stack_after_mm,
            made_mm: row.made_mm,
            mm3_per_stroke: row.left_mm3,
            verdict: row.left_verdict,
          }));
          return (
            <div className="two">
              <Picture title="As received, with the changes needed" items={received} point={point} />
              <Picture title="As left, with the changes made" items={left} point={point} />
            </div>
          );
        }}
      </Answer>
    </section>
  );
}
