'use client';

import type { ReactElement } from 'react';
import { returnCost, returnCostOf, type CostOfModel, type ReturnParts } from '../../lib/store/questions/returnCost';
import {
  hoursEach,
  hoursPerBarrel,
  reworkByModel,
  type HoursOfModel,
  type ReworkOfModel,
} from '../../lib/store/questions/reworkByModel';
import { costInAll, costLines, moneyOf, type CostLine, type Span } from '../../lib/store/questions/reworkCost';
import { secondDraws, secondDrawsOf, type DrawsOfModel } from '../../lib/store/questions/secondDraws';
import { counted, NO_FIGURE } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { countRange, moneyRange } from '../../lib/words/spans';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { EarlyMonths, useEarlyMonths } from '../_shell/EarlyMonths';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';
import { typeRate, useHourRate, type HourRate } from './hourRate';

const hours = (span: Span | null): string => (span === null ? 'cannot be told' : countRange(span.low, span.high));

/** Hours times the rate; nothing where no rate is typed. */
function atRate(span: Span | null, { perHour, currency }: HourRate): string {
  if (span === null || perHour === null) return NO_FIGURE;
  const { low, high } = moneyOf(span, perHour);
  return moneyRange(low, high, currency === '' ? null : currency);
}

const columns = (names: Readonly<Record<CostLine['of'], string>>, rate: HourRate): readonly SheetColumn<CostLine>[] => [
  { label: terms.costOf, cell: (row) => names[row.of] },
  { label: terms.timesOver, cell: (row) => countRange(row.times.low, row.times.high), number: true },
  { label: terms.hoursOver, cell: (row) => hours(row.hours), number: true },
  { label: terms.moneyOver, cell: (row) => atRate(row.hours, rate), number: true },
];

function RateFields({ rate }: { rate: HourRate }): ReactElement {
  return (
    <div className="row">
      <label className="field">
        <span>An hour costs</span>
        <input
          type="text"
          inputMode="decimal"
          size={8}
          defaultValue={rate.perHour ?? ''}
          onChange={(event) => {
            const perHour = Number(event.currentTarget.value.trim().replace(',', '.'));
            typeRate({ perHour: perHour > 0 && perHour < Infinity ? perHour : null });
          }}
        />
      </label>
      <label className="field">
        <span>Currency code</span>
        <input
          type="text"
          maxLength={3}
          size={10}
          placeholder="three letters"
          defaultValue={rate.currency}
          onChange={(event) => {
            typeRate({ currency: event.currentTarget.value.trim().toUpperCase() });
          }}
        />
      </label>
      <EarlyMonths />
    </div>
  );
}

interface PartsProps {
  readonly rows: readonly ReturnParts[];
  /** Of all lines together. */
  readonly all: Span;
  readonly rate: HourRate;
}

/** Parts by currency, and with the hours where both are in one. */
function Parts({ rows, all, rate: { perHour, currency } }: PartsProps): ReactElement {
  const same = perHour === null ? undefined : rows.find((row) => row.currency === currency);
  const both = same === undefined || perHour === null ? null : moneyOf(all, perHour, same);
  const sums = rows.map(
    (row) => `${moneyRange(row.low, row.high, row.currency)} (${counted(row.n, 'job')} with a cost on the card)`,
  );
  return (
    <>
      Parts of those second visits: {sums.length === 0 ? 'none with a cost on the card' : sums.join('; ')}.
      {both === null ? null : ` Hours and those in ${currency} together: ${moneyRange(both.low, both.high, currency)}.`}{' '}
      Currencies are not added to each other.
    </>
  );
}

interface ReckonedProps {
  readonly answers: {
    readonly barrels: readonly ReworkOfModel[];
    readonly hours: readonly HoursOfModel[];
    readonly draws: readonly DrawsOfModel[];
    readonly returns: readonly CostOfModel[];
  };
  readonly months: number;
  readonly rate: HourRate;
}

function Reckoned({ answers: { barrels, hours, ...answers }, months, rate }: ReckonedProps): ReactElement {
  const { draws, perDraw } = secondDrawsOf(answers.draws);
  const { hours: back, parts } = returnCostOf(answers.returns);
  const lines = costLines({ barrels, perBarrel: hoursEach(hours), draws, perDraw, returns: back });
  const all = costInAll(lines);
  const names = {
    barrels: 'changes that need not have been',
    draws: 'draws after the first at a test point',
    returns: `second visits within ${counted(months, 'month')}`,
  };
  const untold = lines.filter((line) => line.hours === null).map((line) => names[line.of]);
  return (
    <>
      <p>
        Together <strong>{countRange(all.low, all.high)}&nbsp;hours</strong>
        {rate.perHour === null ? '' : <>, {atRate(all, rate)} at your rate</>}.{' '}
        <Parts rows={parts} all={all} rate={rate} />
      </p>
      <Sheet
        caption="What rework took, lowest to highest"
        hideCaption
        columns={columns(names, rate)}
        rows={lines}
        rowKey={(row) => row.of}
      />
      {untold.length === 0 ? null : (
        <Note>
          Not enough data for the hours of {untold.join(' and ')}: they take 30 jobs with bench hours on the card and a
          slope that is clearly above 0. They are left out of the sum.
        </Note>
      )}
      <p className="quiet">
        Draws after the first: at one test point since assembly; lowest, those after a correction or after a draw that
        did not count; highest, all, means of two included; hours by the shop&apos;s own jobs, within model and type of
        work ({counted(perDraw.n, 'job')}). Second visits: lowest, those marked as warranty; highest, all of them,
        whoever was at fault; hours of labour, else of the bench
        {back.unknown === 0 ? '' : `; ${counted(back.unknown, 'visit')} without hours count as none`}. One hour may
        stand in two lines, as a barrel that comes off is drawn again: so the lowest sum is the largest line alone, and
        the highest all lines added. The rate stays in this browser.
      </p>
    </>
  );
}

/** What was done that need not have been, or was done again, in hours and in money. */
export function Cost(): ReactElement {
  const [filters] = useFilters();
  const [months] = useEarlyMonths();
  const rate = useHourRate();
  const barrels = useAsk(reworkByModel, filters);
  const hours = useAsk(hoursPerBarrel, filters);
  const draws = useAsk(secondDraws, filters);
  const returns = useAsk(returnCost, { ...filters, months });
  const answers =
    barrels.rows === null || hours.rows === null || draws.rows === null || returns.rows === null
      ? null
      : { barrels: barrels.rows, hours: hours.rows, draws: draws.rows, returns: returns.rows };
  const error = barrels.error ?? hours.error ?? draws.error ?? returns.error;
  return (
    <div className="stack">
      <RateFields rate={rate} />
      <Answer asked={{ rows: answers === null ? null : [answers], error }} none={null}>
        {([known]) =>
          known === undefined ? null : <Reckoned answers={known} months={returns.args?.months ?? months} rate={rate} />
        }
      </Answer>
    </div>
  );
}
