'use client';

import { useCallback, useMemo, useState, type ReactElement } from 'react';
import { intervalsPlot } from '../../lib/charts/intervals';
import type { Room } from '../../lib/charts/frame';
import {
  targets,
  type AgainstPlain,
  type BackTest,
  type Coverages,
  type Target,
  type TargetTest,
} from '../../lib/quote/types';
import { count, counted, NO_FIGURE, percent, percentRange } from '../../lib/words/figures';
import { logLabel, quoteTerms, terms } from '../../lib/words/labels';
import { againstWords, coverageWords, keepsWord, offBy, targetWords, verdictWords } from '../../lib/words/quote';
import { Frame } from '../_shell/Frame';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { amounts } from './fields';
import type { Worked } from './useDesk';

const SPOKEN = 0.8;
const at = (coverages: readonly Coverages[], coverage: number): Coverages | null =>
  coverages.find((each) => each.coverage === coverage) ?? null;

const heldWords = (held: Coverages | null): string =>
  held?.share == null || held.low === null || held.high === null
    ? NO_FIGURE
    : `${percent(held.share)} of ${count(held.n)} (${percentRange(held.low, held.high)})`;

function HeldTable({ tests }: { tests: readonly TargetTest[] }): ReactElement {
  const cell = (coverage: number) => (test: TargetTest) => {
    const held = at(test.coverages, coverage);
    const word = held === null ? null : keepsWord(held);
    return `${heldWords(held)}${word === null ? '' : `, ${word}`}`;
  };
  const columns: readonly SheetColumn<TargetTest>[] = [
    { label: quoteTerms.figure, cell: ({ target }) => targetWords[target] },
    { label: terms.n, cell: ({ n }) => count(n), number: true },
    { label: quoteTerms.half, cell: cell(0.5), number: true },
    { label: quoteTerms.most, cell: cell(0.8), number: true },
    { label: quoteTerms.nearlyAll, cell: cell(0.95), number: true },
  ];
  return (
    <Sheet
      caption="How many past jobs ended in the range told for them"
      columns={columns}
      rows={tests}
      rowKey={({ target }) => target}
      tall
    />
  );
}

function AgainstList({ test, currency }: { test: TargetTest; currency: string | null }): ReactElement {
  return (
    <ul className="quote-against">
      {test.against.map((against: AgainstPlain) => (
        <li key={against.way} data-beats={against.beats}>
          {againstWords(test.target, against, currency, amounts)}
        </li>
      ))}
    </ul>
  );
}

interface Part {
  readonly name: string;
  readonly n: number;
  readonly medianError: number | null;
  readonly coverages: readonly Coverages[];
}

function PartTable({
  parts,
  test,
  by,
  currency,
}: {
  parts: readonly Part[];
  test: TargetTest;
  by: 'model' | 'year';
  currency: string | null;
}): ReactElement {
  const columns: readonly SheetColumn<Part>[] = [
    { label: by === 'model' ? logLabel('jobs', 'pump_model') : quoteTerms.year, cell: ({ name }) => name },
    { label: terms.n, cell: ({ n }) => count(n), number: true },
    {
      label: quoteTerms.ownError,
      cell: ({ medianError }) => offBy(test.target, medianError, currency, amounts),
      number: true,
    },
    {
      label: quoteTerms.held,
      head: '8 of 10 held',
      cell: ({ coverages }) => heldWords(at(coverages, SPOKEN)),
      number: true,
    },
  ];
  return (
    <Sheet
      caption={`${targetWords[test.target]} by ${by}`}
      columns={columns}
      rows={parts}
      rowKey={({ name }) => name}
      tall
    />
  );
}

function OverTime({
  test,
  years,
  currency,
}: {
  test: TargetTest;
  years: readonly Part[];
  currency: string | null;
}): ReactElement {
  const rows = useMemo(
    () =>
      years.flatMap(({ name, n, coverages }) => {
        const held = at(coverages, SPOKEN);
        if (held?.share == null || held.low === null || held.high === null) return [];
        return [{ name, n, value: 100 * held.share, low: 100 * held.low, high: 100 * held.high }];
      }),
    [years],
  );
  const draw = useCallback(
    (room: Room) =>
      intervalsPlot(rows, { label: '8 of 10 ranges that held (%)', write: (value) => percent(value / 100) }, room),
    [rows],
  );
  if (rows.length === 0) return <Note>Not enough data to tell it over time.</Note>;
  return (
    <Frame
      title={`${targetWords[test.target]}: how many 8 of 10 ranges held, year by year`}
      n={counted(
        rows.reduce((sum, { n }) => sum + n, 0),
        'past job',
      )}
      method="Each job quoted as on the first of the month it came in, by what was finished before. Lines are 95 % intervals (Wilson); 80 % is what was promised."
      table={<PartTable parts={years} test={test} by="year" currency={currency} />}
      draw={draw}
    />
  );
}

function Tested({ tested }: { tested: BackTest }): ReactElement {
  const [target, pick] = useState<Target>('hours');
  const { currency } = tested.choices;
  const tests = tested.tests.filter(({ n }) => n > 0);
  const test = tests.find((each) => each.target === target) ?? tests[0];
  const verdict = verdictWords(tested);
  const spoken = test === undefined ? null : at(test.coverages, SPOKEN);
  return (
    <>
      {test === undefined || spoken === null ? null : (
        <p className="lead">
          {targetWords[test.target]}: {coverageWords(spoken)}. Half of the quotes were off by less than{' '}
          {offBy(test.target, test.medianError, currency, amounts)}.
        </p>
      )}
      {verdict.warm ? <Note warm>{verdict.text}</Note> : <p>{verdict.text}</p>}
      {test === undefined ? null : (
        <>
          <HeldTable tests={tests} />
          <label className="field quote-pick">
            <span>Figure looked at</span>
            <select
              value={test.target}
              onChange={(event) => {
                const picked = targets.find((each) => each === event.currentTarget.value);
                if (picked !== undefined) pick(picked);
              }}
            >
              {tests.map((each) => (
                <option key={each.target} value={each.target}>
                  {targetWords[each.target]}
                </option>
              ))}
            </select>
          </label>
          <h3>Against plain ways to quote</h3>
          <AgainstList test={test} currency={currency} />
          <div className="two">
            <PartTable
              parts={test.byModel.map(({ model, ...rest }) => ({ name: model, ...rest }))}
              test={test}
              by="model"
              currency={currency}
            />
            <OverTime
              test={test}
              years={test.byYear.map(({ year, ...rest }) => ({ name: String(year), ...rest }))}
              currency={currency}
            />
          </div>
        </>
      )}
    </>
  );
}

/** How well the same way of quoting would have done over the shop's own past. */
export function BackTestSection({ tested }: { tested: Worked<BackTest> }): ReactElement {
  return (
    <section className="section no-print" aria-labelledby="quote-test">
      <h2 id="quote-test">How well such quotes would have done</h2>
      <p className="quiet prose">
        Every past job is quoted anew as on the first of the month it came in, from what was finished by then, and
        compared with what it took.
      </p>
      {tested.error !== null ? <Note warm>This could not be worked out. {tested.error}</Note> : null}
      {tested.value !== null ? (
        <Tested tested={tested.value} />
      ) : tested.error === null ? (
        <p className="quiet" aria-busy="true">
          Quoting the past jobs anew …
        </p>
      ) : null}
    </section>
  );
}
