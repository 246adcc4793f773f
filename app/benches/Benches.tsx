'use client';

import type { ReactElement } from 'react';
import { signed } from '../../lib/charts/frame';
import { benchMoves } from '../../lib/store/questions/benchMoves';
import {
  benchOffsets,
  FEWEST_ON_BENCH,
  type BenchOffset,
  type BenchOffsets,
} from '../../lib/store/questions/benchOffsets';
import { filterChoices } from '../../lib/store/questions/filterChoices';
import { gaugesDue, type GaugeDue } from '../../lib/store/questions/gaugesDue';
import { repeatStudy } from '../../lib/store/questions/gaugeStudy';
import { counted, day, quarterName } from '../../lib/words/figures';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { later } from '../_shell/later';
import { useFilters } from '../_shell/useFilters';
import { useForesight } from '../_shell/useForesight';

const ByBench = later(() => import('./Offsets').then((m) => m.ByBench));
const ByQuarter = later(() => import('./Offsets').then((m) => m.ByQuarter));
const RepeatDraws = later(() => import('./Repeats').then((m) => m.RepeatDraws));
const Study = later(() => import('./Study').then((m) => m.Study));
const Gauges = later(() => import('./Gauges').then((m) => m.Gauges));

/** What takes longest when a model is chosen. */
const foreseen = { questions: [repeatStudy, benchOffsets, gaugesDue] };

const size = (offset: number): string => `${Math.abs(offset).toFixed(1)}\u00a0%`;
const interval = ({ low, high }: BenchOffset): string =>
  `${signed(Math.round(10 * low) / 10)} to ${signed(Math.round(10 * high) / 10)}\u00a0%`;
const isApart = ({ low, high }: BenchOffset): boolean => low > 0 || high < 0;
const way = ({ offset }: BenchOffset): string => (offset > 0 ? 'more' : 'less');

/** Names the bench that stands out: the one that moved most, else the one furthest off. */
function OffsetSentence({ told }: { told: BenchOffsets }): ReactElement {
  const { benches, changes } = told;
  if (benches.length < 2) {
    return (
      <>
        Not enough data to hold one bench against another: it takes two with {FEWEST_ON_BENCH} jobs each of models and
        work that both had.
      </>
    );
  }
  const moved = changes.find(({ since }) => since !== null && isApart(since));
  if (moved?.since) {
    const { since, before } = moved;
    return (
      <>
        {moved.bench_id} reads{' '}
        <strong>
          {size(since.offset)} {way(since)}
        </strong>{' '}
        than the other benches since about {quarterName(moved.quarter)}, {interval(since)}, {counted(since.n, 'job')}
        {before === null
          ? ''
          : `; before that it was ${signed(Math.round(10 * before.offset) / 10)} %, ${interval(before)}`}
        .
      </>
    );
  }
  const furthest = benches.filter(isApart).toSorted((a, b) => Math.abs(b.offset) - Math.abs(a.offset))[0];
  return furthest === undefined ? (
    <>
      No bench stands clear of the others: {counted(benches.length, 'bench', 'benches')}, {counted(told.n, 'job')}{' '}
      compared.
    </>
  ) : (
    <>
      {furthest.bench_id} reads{' '}
      <strong>
        {size(furthest.offset)} {way(furthest)}
      </strong>{' '}
      than the other benches, {interval(furthest)}, {counted(furthest.n, 'job')}.
    </>
  );
}

function GaugeSentence({ rows }: { rows: readonly GaugeDue[] }): ReactElement | null {
  const last = rows[0]?.last_day;
  if (last === undefined) return null;
  const past = rows.filter((row) => row.standing === 'past its date').map((row) => row.instrument_id);
  const once = rows.filter((row) => row.past_jobs > 0).toSorted((a, b) => b.past_jobs - a.past_jobs)[0];
  return (
    <>
      {' '}
      {past.length === 0 ? 'No gauge is' : `${past.join(', ')} ${past.length === 1 ? 'is' : 'are'}`} past the date on{' '}
      {day(last)}, the last day of the log.
      {once === undefined
        ? ''
        : ` ${once.instrument_id} was used on past it in ${counted(once.past_jobs, 'job')}, ${day(once.past_first)} to ${day(once.past_last)}.`}
    </>
  );
}

/** How benches read against each other, how well a draw repeats, and which gauges are due. */
export function Benches(): ReactElement {
  const [filters] = useFilters();
  const offsets = useAsk(benchOffsets, filters);
  const moves = useAsk(benchMoves, filters);
  const gauges = useAsk(gaugesDue, filters);
  const models = (useAsk(filterChoices, null).rows ?? []).filter(({ kind }) => kind === 'model');
  useForesight(
    offsets.rows !== null && gauges.rows !== null,
    foreseen,
    models.map(({ value }) => value),
  );
  const none = 'The log holds no job that matches.';
  return (
    <div className="page">
      <div className="stack">
        <h1>Benches and gauges{filters.model === null ? '' : `, ${filters.model}`}</h1>
        <Answer asked={offsets} none={none}>
          {([told]) => (
            <p className="lead">
              {told === undefined ? none : <OffsetSentence told={told} />}
              <GaugeSentence rows={gauges.rows ?? []} />
            </p>
          )}
        </Answer>
        <p className="quiet prose">
          A bench that reads high makes pumps leave with too little fuel. It shows only against the other benches: what
          all of them read wrong alike cannot be seen here.
        </p>
      </div>
      <section className="section" aria-labelledby="offsets">
        <h2 id="offsets">Bench against bench</h2>
        <Answer asked={offsets} none={none}>
          {([told]) =>
            told === undefined ? null : (
              <>
                <ByBench told={told} moves={moves.rows?.[0] ?? null} />
                <ByQuarter told={told} />
              </>
            )
          }
        </Answer>
      </section>
      <section className="section" aria-labelledby="repeats">
        <h2 id="repeats">How well a draw repeats</h2>
        <RepeatDraws />
        <Study />
      </section>
      <section className="section" aria-labelledby="gauges">
        <h2 id="gauges">Gauges and their dates</h2>
        <Answer asked={gauges} none="The log names no gauge: load a file of the instruments table.">
          {(rows) => <Gauges rows={rows} />}
        </Answer>
      </section>
    </div>
  );
}
