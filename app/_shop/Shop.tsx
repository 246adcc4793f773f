'use client';

import type { ReactElement } from 'react';
import { firstPassByModel } from '../../lib/store/questions/firstPassByModel';
import { shopSummary, type ShopSummary } from '../../lib/store/questions/shopSummary';
import { counted, day, percent, percentRange } from '../../lib/words/figures';
import { useAsk } from '../_log/useAsk';
import { useLog } from '../_log/useLog';
import { Answer } from '../_shell/Answer';
import { Note } from '../_shell/Notes';
import { later } from '../_shell/later';
import { useFilters } from '../_shell/useFilters';
import { SetAsideTally } from './SetAsideTally';

const FirstPassFrame = later(() => import('./FirstPassFrame').then((m) => m.FirstPassFrame));
const DearestFault = later(() => import('./DearestFault').then((m) => m.DearestFault));
const FindingsTally = later(() => import('./FindingsTally').then((m) => m.FindingsTally));
const LatelyFrame = later(() => import('./LatelyFrame').then((m) => m.LatelyFrame));

/** The answer to "how does the shop stand", in two sentences. */
function Summary({ shop, calculating }: { shop: ShopSummary; calculating: boolean }): ReactElement {
  const { share, low, high, n } = shop.first_pass;
  const left = `${counted(shop.not_counted, 'job')} could not be counted.`;
  return (
    <p className="lead">
      {counted(shop.jobs, 'job')} on {counted(shop.serials, 'pump')} of {counted(shop.models, 'model')}, received{' '}
      {day(shop.first_day)}
      {shop.last_day === shop.first_day ? '' : ` to ${day(shop.last_day)}`}.{' '}
      {shop.calculated < shop.jobs && calculating ? (
        <>The first-pass rates follow once every job is recalculated.</>
      ) : shop.calculated < shop.jobs ? (
        <>
          {counted(shop.calculated, 'job')} of them calculated so far, too few to speak for the rest, so no first-pass
          rate is shown.
        </>
      ) : share === null || low === null || high === null ? (
        <>None of them has a complete first measurement, so there is no first-pass rate.</>
      ) : (
        <>
          <strong>
            <data value={share}>{percent(share)}</data> passed first time
          </strong>
          , {percentRange(low, high)}, {counted(n, 'job')} counted.{' '}
          {shop.not_counted === 0 ? 'All could be counted.' : left}
        </>
      )}
    </p>
  );
}

/** How many jobs, how many pass first time, what changed lately, what was set aside. */
export function Shop(): ReactElement {
  const [filters] = useFilters();
  const { state, report, recalculate } = useLog();
  const summary = useAsk(shopSummary, filters);
  const models = useAsk(firstPassByModel, filters);
  return (
    <div className="page">
      <h1>The shop</h1>
      {report?.cancelled === true ? (
        <div className="row">
          <Note warm>The calculation was called off before all jobs were done.</Note>
          <button type="button" onClick={recalculate}>
            Go on calculating
          </button>
        </div>
      ) : null}
      <Answer asked={summary} none="The log holds no jobs.">
        {([shop]) =>
          shop === undefined || shop.jobs === 0 ? (
            <Note>
              {shop?.all_jobs === 0
                ? 'The log holds no jobs yet. Load a file of the jobs table first; readings without their job are set aside.'
                : 'No job matches these filters.'}
            </Note>
          ) : (
            <>
              <Summary shop={shop} calculating={state.phase === 'calculating'} />
              <DearestFault />
              {shop.calculated < shop.jobs ? null : (
                <>
                  <section className="section" aria-labelledby="first-pass">
                    <h2 id="first-pass">First pass by model</h2>
                    <Answer asked={models} none="No job matches these filters.">
                      {(rows) => <FirstPassFrame rows={rows} overall={shop.first_pass.share} />}
                    </Answer>
                  </section>
                  <LatelyFrame />
                  <FindingsTally jobs={shop.jobs} />
                </>
              )}
            </>
          )
        }
      </Answer>
      <SetAsideTally />
    </div>
  );
}
