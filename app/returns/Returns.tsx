'use client';

import type { ReactElement } from 'react';
import { earlyRates, type EarlyRate } from '../../lib/store/questions/earlyReturns';
import { FEWEST_OUT, returnCurves, type ReturnCurve } from '../../lib/store/questions/returnCurves';
import { counted, percent, percentRange } from '../../lib/words/figures';
import { months, monthsRange } from '../../lib/words/spans';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { EarlyMonths, useEarlyMonths } from '../_shell/EarlyMonths';
import { later } from '../_shell/later';
import { useFilters } from '../_shell/useFilters';

const CurveFrame = later(() => import('./CurveFrame').then((m) => m.CurveFrame));
const EarlyRates = later(() => import('./Early').then((m) => m.EarlyRates));
const EarlyTable = later(() => import('./Early').then((m) => m.EarlyTable));

function Half({ curve }: { curve: ReturnCurve }): ReactElement {
  const { median, n, back } = curve;
  if (n < FEWEST_OUT)
    return (
      <>
        {counted(n, 'job')} left before the last day of the log, too few to say how soon pumps come back (fewer than{' '}
        {FEWEST_OUT}).
      </>
    );
  if (!Number.isFinite(median.time))
    return (
      <>
        Fewer than half of the pumps came back: {counted(back, 'return')} after {counted(n, 'job')}, the others counted
        as long as the log follows them.
      </>
    );
  return (
    <>
      Half of the pumps are back within <strong>{months(median.time)}</strong> of leaving,{' '}
      {monthsRange(median.low, median.high)}; {counted(n, 'job')}, of which {counted(n - back, 'pump')} still out.
    </>
  );
}

function Early({ all, within }: { all: EarlyRate | undefined; within: number }): ReactElement | null {
  if (all?.share === undefined || all.share === null || all.low === null || all.high === null) return null;
  return (
    <>
      {' '}
      Within {counted(within, 'month')} <strong>{percent(all.share)} came back</strong>,{' '}
      {percentRange(all.low, all.high)}, {counted(all.n, 'job')} watched that long.
    </>
  );
}

/** How long pumps stay out, and which came back too soon. */
export function Returns(): ReactElement {
  const [filters] = useFilters();
  const [within] = useEarlyMonths();
  const curves = useAsk(returnCurves, filters);
  const rates = useAsk(earlyRates, { ...filters, months: within });
  const none = 'No job that matches left before the last day of the log.';
  return (
    <div className="page">
      <div className="stack">
        <h1>Returns{filters.model === null ? '' : `, ${filters.model}`}</h1>
        <Answer asked={curves} none={none}>
          {(rows) => {
            const all = rows.find((row) => row.kind === 'all');
            return (
              <p className="lead">
                {all === undefined ? none : <Half curve={all} />}
                <Early all={rates.rows?.find((row) => row.pump_model === null)} within={within} />
              </p>
            );
          }}
        </Answer>
        <p className="quiet prose">
          A return is the next job of the same serial number, whatever it came in for, but for rounds of the benches: a
          pump tested on several benches within 30 days, without a complaint and with nothing set or fitted. A pump
          still out is counted as still out up to the last day of the log; one that went to another shop or was scrapped
          looks the same.
        </p>
        <EarlyMonths />
      </div>
      <section className="section" aria-labelledby="early">
        <h2 id="early">Back within {counted(within, 'month')}</h2>
        <Answer asked={rates} none={none}>
          {(rows) => <EarlyRates rows={rows} within={within} />}
        </Answer>
        <EarlyTable within={within} />
      </section>
      <section className="section" aria-labelledby="by-model">
        <h2 id="by-model">Time to return by model</h2>
        <Answer asked={curves} none={none}>
          {(rows) => <CurveFrame kind="model" rows={rows} />}
        </Answer>
      </section>
      <section className="section" aria-labelledby="by-work">
        <h2 id="by-work">Time to return by type of work</h2>
        <Answer asked={curves} none={none}>
          {(rows) => <CurveFrame kind="work" rows={rows} />}
        </Answer>
      </section>
    </div>
  );
}
