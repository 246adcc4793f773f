'use client';

import Link from 'next/link';
import { useCallback, useMemo, type ReactElement } from 'react';
import type { Room } from '../../lib/charts/frame';
import { intervalsPlot } from '../../lib/charts/intervals';
import { trendBatchesOf, type BatchValues } from '../../lib/store/questions/trendBatches';
import { FEWEST_OF_PART, figureOf, type PartFigure } from '../../lib/store/trends';
import { count, counted, day } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useAddress, useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';
import { wordsOf, type SeriesWords } from './series';
import type { TrendChoice } from './useTrendChoice';
import { capital, splitNotes } from './words';

/** More rows than these are no longer read; the newest stay. */
const MOST_BATCHES = 40;

interface Told extends PartFigure {
  readonly name: string;
  readonly first: string;
  readonly last: string;
}

const toldOf = (rows: readonly BatchValues[], words: SeriesWords): readonly Told[] =>
  rows.flatMap(({ batch, first, last, values }) => {
    const figure = figureOf(values, words.kind);
    return figure === null ? [] : [{ name: batch, first, last, ...figure }];
  });

function Drawn({ rows, words }: { rows: readonly BatchValues[]; words: SeriesWords }): ReactElement {
  const units = useUnits();
  const to = useAddress();
  const all = useMemo(() => toldOf(rows, words), [rows, words]);
  const told = useMemo(() => all.slice(-MOST_BATCHES), [all]);
  const write = useMemo(() => words.write(units), [words, units]);
  const scale = useMemo(() => words.scale(units), [words, units]);
  const axis = words.axis(units);
  const draw = useCallback(
    (room: Room) =>
      intervalsPlot(
        told.map(({ name, n, value, low, high }) => ({
          ...{ name, n },
          ...{ value: scale(value), low: scale(low), high: scale(high) },
        })),
        { label: axis, write: (value) => String(Math.round(100 * value) / 100) },
        room,
      ),
    [told, scale, axis],
  );
  const [least] = told.toSorted((a, b) => a.value - b.value);
  const most = told.toSorted((a, b) => a.value - b.value).at(-1);
  if (least === undefined || most === undefined) {
    return (
      <Note>
        Not enough data: no shim batch has {FEWEST_OF_PART} {words.counts}.
      </Note>
    );
  }
  const title =
    told.length === 1
      ? `${capital(words.label.text)}, shim batch ${least.name}: ${write(least.value)}`
      : `${capital(words.label.text)} by shim batch: from ${write(least.value)} (${least.name}) to ${write(most.value)} (${most.name})`;
  const thin = rows.length - all.length;
  const columns: readonly SheetColumn<Told>[] = [
    {
      label: logLabel('shims', 'batch'),
      cell: (row) => <Link href={to('/jobs/', { batch: row.name })}>{row.name}</Link>,
    },
    { label: terms.batchFirst, cell: (row) => day(row.first), number: true },
    { label: terms.batchLast, cell: (row) => day(row.last), number: true },
    { label: { ...words.label, unit: null }, cell: (row) => write(row.value), number: true },
    {
      label: { ...terms.interval, unit: null },
      cell: (row) => `${write(row.low)} to ${write(row.high)}`,
      number: true,
    },
    { label: terms.n, cell: (row) => count(row.n), number: true },
  ];
  return (
    <Frame
      title={title}
      n={
        `${counted(told.length, 'batch', 'batches')}, in the order of first use` +
        (thin === 0 ? '' : `; ${count(thin)} with fewer than ${FEWEST_OF_PART} jobs not shown`) +
        (all.length === told.length ? '' : `; ${count(all.length - told.length)} older not shown`)
      }
      method={
        `${words.method} The line is the 95 % interval: Wilson's of a share, Student's of a mean, of a median the two of its own values that hold it. ` +
        `${splitNotes.batch ?? ''} Models and work differ from batch to batch, and of twenty batches one stands apart by chance alone: whether one is to blame is asked on Faults.`
      }
      keys={<Keys marks={[['blue dot', 'the batch, with its interval']]} />}
      table={<Sheet caption={title} hideCaption columns={columns} rows={told} rowKey={(row) => row.name} />}
      draw={draw}
    />
  );
}

/** A series by shim batch as a whole: a batch is used up before it makes a chart over time. */
export function Batches({ choice }: { choice: TrendChoice }): ReactElement {
  const [filters] = useFilters();
  const words = wordsOf(choice);
  const asked = useAsk(trendBatchesOf[choice.series], filters);
  return (
    <Answer asked={asked} none={`Not enough data: no shim batch is named with ${words.counts}.`}>
      {(rows) => <Drawn rows={rows} words={words} />}
    </Answer>
  );
}
