'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import { quoteRangesPlot, type SimilarDot } from '../../lib/charts/quoteRanges';
import type { Room } from '../../lib/charts/frame';
import {
  targets,
  type Estimate,
  type ExtraChance,
  type RangeSet,
  type SimilarJob,
  type Target,
} from '../../lib/quote/types';
import type { QuoteAnswer } from '../../lib/store/quoteDesk';
import { count, counted, day } from '../../lib/words/figures';
import { quoteTerms, terms } from '../../lib/words/labels';
import {
  addedBasis,
  addedWords,
  basisWords,
  chanceBasis,
  chanceWords,
  driftWords,
  extraWords,
  figureOf,
  leadWords,
  rangeAt,
  rangeOf,
  targetWords,
  whyNot,
  widthWords,
} from '../../lib/words/quote';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useAddress } from '../_shell/useFilters';
import { amounts } from './fields';
import { Moved } from './Moved';
import { useRouter } from 'next/navigation';

interface FigureRow {
  readonly target: Target;
  readonly set: RangeSet;
}

function rangeCell({ target, set }: FigureRow, coverage: number, currency: string | null): string {
  const range = rangeAt(set, coverage);
  if (range === null) return whyNot(set.notEnough);
  return range.notEnough === null ? rangeOf(target, range, currency, amounts) : whyNot(range.notEnough);
}

/** Every figure with its ranges and what it rests on. */
function Figures({ estimate }: { estimate: Estimate }): ReactElement {
  const { currency } = estimate.choices;
  const rows: readonly FigureRow[] = targets
    .map((target) => ({ target, set: estimate[target] }))
    .filter(({ set }) => set.notEnough !== 'no rate set');
  const columns: readonly SheetColumn<FigureRow>[] = [
    { label: quoteTerms.figure, cell: ({ target }) => targetWords[target] },
    {
      label: quoteTerms.middle,
      cell: ({ target, set }) => figureOf(target, set.median, currency, amounts),
      number: true,
    },
    { label: quoteTerms.half, cell: (row) => rangeCell(row, 0.5, currency), number: true },
    { label: quoteTerms.most, cell: (row) => rangeCell(row, 0.8, currency), number: true },
    { label: quoteTerms.nearlyAll, cell: (row) => rangeCell(row, 0.95, currency), number: true },
    { label: terms.n, cell: ({ set }) => count(set.n), number: true },
    { label: quoteTerms.counting, cell: ({ set }) => amounts.number(set.effectiveN, 0), number: true },
    {
      label: quoteTerms.restsOn,
      cell: ({ set }) => [basisWords(set), widthWords(set)].filter((words) => words !== null).join('; '),
      prose: true,
    },
  ];
  return (
    <Sheet
      caption="Each figure, how sure it is and what it rests on"
      columns={columns}
      rows={rows}
      rowKey={({ target }) => target}
      tall
    />
  );
}

const axisWords: Readonly<Record<Exclude<Target, 'cost'>, string>> = {
  hours: 'Labour (h)',
  parts: 'Parts',
  days: 'Days in the shop',
};

const tookOf = (target: Exclude<Target, 'cost'>, job: SimilarJob): number | null =>
  ({ hours: job.labourHours, parts: job.partsToday, days: job.days })[target];

interface PlotProps extends QuoteAnswer {
  readonly target: Exclude<Target, 'cost'>;
}

/** The ranges of one figure beside what the similar jobs took. */
function RangePlot({ target, estimate, similar }: PlotProps): ReactElement | null {
  const router = useRouter();
  const to = useAddress();
  const set = estimate[target];
  const { currency } = estimate.choices;
  const { median } = set;
  const dots = useMemo(
    (): readonly SimilarDot[] =>
      similar.flatMap((job) => {
        const value = tookOf(target, job);
        const note = `${job.job}, ${day(job.finishedOn)}: ${figureOf(target, value, currency, amounts)}`;
        return value === null ? [] : [{ value, note, href: to('/job/', { id: job.job }) }];
      }),
    [similar, target, currency, to],
  );
  const label = target === 'parts' ? `${axisWords.parts} (${currency ?? 'no currency'})` : axisWords[target];
  const draw = useCallback(
    (room: Room) =>
      quoteRangesPlot(
        median ?? 0,
        set.ranges,
        dots,
        { label, write: (value) => figureOf(target, value, currency, amounts) },
        room,
      ),
    [median, set.ranges, dots, label, target, currency],
  );
  const follow = useCallback(
    (address: string) => {
      router.push(address);
    },
    [router],
  );
  if (median === null) return null;
  const open = set.ranges.some(({ high }) => !Number.isFinite(high));
  return (
    <Frame
      title={`${targetWords[target]}: about ${figureOf(target, median, currency, amounts)}`}
      n={`${basisWords(set)}; ${counted(dots.length, 'similar job')} as dots`}
      method={`Bars from thick to thin: what 5 of 10, 8 of 10 and 19 of 20 such jobs are expected to take. ${open ? 'A bar that runs to the edge is not bounded: too few jobs. ' : ''}Each dot leads to its job.`}
      keys={
        <Keys
          marks={[
            ['blue bar', '5 of 10'],
            ['band', '8 of 10'],
            ['blue line', '19 of 20'],
            ['grey dot', 'similar job'],
          ]}
        />
      }
      table={
        <Sheet
          caption={targetWords[target]}
          hideCaption
          columns={[{ label: quoteTerms.took, cell: (dot: SimilarDot) => dot.note }]}
          rows={dots}
          rowKey={(dot) => dot.note}
        />
      }
      draw={draw}
      follow={follow}
    />
  );
}

function ExtraWork({ estimate: { extra, choices } }: { estimate: Estimate }): ReactElement {
  const columns: readonly SheetColumn<ExtraChance>[] = [
    { label: quoteTerms.extraWork, cell: ({ kind }) => extraWords[kind] },
    { label: quoteTerms.chance, cell: (row) => chanceWords(row), number: true },
    { label: quoteTerms.restsOn, cell: (row) => chanceBasis(row), prose: true },
    { label: quoteTerms.added, cell: ({ added }) => addedWords(added, choices.currency, amounts), prose: true },
    { label: quoteTerms.addedFrom, cell: ({ added }) => addedBasis(added), prose: true },
  ];
  return <Sheet caption="Chance of extra work" columns={columns} rows={extra} rowKey={({ kind }) => kind} tall />;
}

/** The answer in one sentence, then how sure it is and what it rests on. */
export function AnswerSection({ estimate, similar }: QuoteAnswer): ReactElement {
  const { halfLifeYears } = estimate.choices;
  const drifts = targets.flatMap((target) => {
    const { drift } = estimate[target];
    const words = driftWords(target, drift);
    return words === null ? [] : [{ words, warm: drift?.drifts === true }];
  });
  return (
    <section className="section no-print" aria-labelledby="quote-answer">
      <h2 id="quote-answer" className="unseen">
        The answer
      </h2>
      <div className="stack">
        <p className="lead quote-lead">
          {leadWords(estimate, amounts).map((words, i) => (
            <span key={words}>{i === 0 ? <strong>{words}</strong> : words} </span>
          ))}
        </p>
        <p className="quiet prose">
          {basisWords(estimate.hours)}. Recent jobs weigh more: after {counted(halfLifeYears, 'year')} a job counts
          half.
        </p>
        {drifts.map(({ words, warm }) =>
          warm ? (
            <Note key={words} warm>
              {words}
            </Note>
          ) : (
            <p key={words} className="quiet small">
              {words}
            </p>
          ),
        )}
      </div>
      <div className="quote-plots">
        {(['hours', 'parts', 'days'] as const).map((target) => (
          <RangePlot key={target} target={target} estimate={estimate} similar={similar} />
        ))}
      </div>
      <Figures estimate={estimate} />
      <Moved estimate={estimate} />
      <ExtraWork estimate={estimate} />
    </section>
  );
}
