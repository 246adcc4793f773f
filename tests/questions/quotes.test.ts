import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { HeadlessLog } from '../../lib/headless/log';
import type { Question } from '../../lib/store/question';
import { laterJobs } from '../../lib/store/questions/laterJobs';
import { lastVisit } from '../../lib/store/questions/lastVisit';
import { quoteChoices } from '../../lib/store/questions/quoteChoices';
import { packQuoteHistory } from '../../lib/store/quote';
import { QuoteDesk, type QuoteAsked, type QuoteChoices } from '../../lib/store/quoteDesk';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

const JOBS = `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,finished_on,work_type,complaint,engine_hours,labour_hours,parts_cost,currency,branch
J-1,S-1,Kestrel,K-1,A,2024-01-04,2024-01-10,rebuild,Low power,4000,10,500,EUR,North
J-2,S-1,Kestrel,K-1,A,2025-02-04,,test,,,,,,North
J-3,s-1,Kestrel,K-1,A,2023-02-04,2023-02-09,test,low power,100,2,0,eur,
J-4,S-2,Kestrel,K-1,A,2024-03-04,2024-03-12,rebuild,smoke,900,14,300,CHF,South
`;
const asked: QuoteAsked = {
  ...{ model: 'Kestrel', work: 'rebuild', complaint: null, branch: null, engineHours: null },
  ...{ phasingDeg: null, scatterPercent: null, retentionDeficit: null, leakSlope: null },
};
const choices: QuoteChoices = { today: '2025-06-01', currency: 'EUR', hourRate: 50, partsIndexPerYear: 0 };

describe('what the quote page asks', () => {
  let log: HeadlessLog;
  let desk: QuoteDesk;
  beforeAll(async () => {
    log = await logOf({ ...smallLog, 'jobs.csv': JOBS });
    const { columns, names } = await packQuoteHistory(log.db);
    desk = new QuoteDesk(columns, names);
  });
  afterAll(() => log.db.close());
  const ask = async <A, R>(question: Question<A, R>, args: A): Promise<R[]> =>
    z.array(question.row).parse(await log.db.rows(question.sql, question.params(args)));

  it('finds the last visit of a pump and the last hours that a card states, its own capitals first', async () => {
    const found = await ask(lastVisit, { serial: ' S-1 ' });
    expect(found).toMatchObject([
      { job_id: 'J-2', pump_serial: 'S-1', visits: 2, engine_hours: 4000, hours_on: '2024-01-04', finished_on: null },
      { job_id: 'J-3', pump_serial: 's-1', visits: 1 },
    ]);
    expect((await ask(lastVisit, { serial: 's-1' }))[0]?.job_id).toBe('J-3');
    expect(await ask(lastVisit, { serial: 'S-9' })).toEqual([]);
  });

  it('offers complaints, branches and currencies, the most frequent first, each once', async () => {
    const offered = await ask(quoteChoices, null);
    expect(offered.map(({ kind, value, jobs }) => `${kind} ${value} ${jobs}`)).toEqual([
      'branch North 2',
      'branch South 1',
      'complaint Low power 2',
      'complaint smoke 1',
      'currency EUR 2',
      'currency CHF 1',
    ]);
  });

  it('tells the jobs of some pumps, and of no others', async () => {
    const jobs = await ask(laterJobs, { serials: ['S-1', 'S-2'] });
    expect(jobs.map(({ job_id }) => job_id)).toEqual(['J-1', 'J-4', 'J-2']);
    expect(jobs[1]).toMatchObject({ labour_hours: 14, parts_cost: 300, currency: 'CHF' });
    expect(await ask(laterJobs, { serials: [] })).toEqual([]);
    expect(await ask(laterJobs, { serials: [`x' or '1' = '1`] })).toEqual([]);
  });

  it('answers quotes from what was laid out, and says where it can not', () => {
    const { estimate, similar } = desk.quote({ asked, choices });
    expect(similar.map(({ job }) => job).slice(0, 2)).toEqual(expect.arrayContaining(['J-1', 'J-4']));
    expect(estimate.hours.ranges.every(({ notEnough }) => notEnough !== null)).toBe(true);
    const price = { asked, choices, price: 900, chance: 0.1, margin: 0.25 };
    // J-1 alone has hours and parts in EUR among the rebuilds: 10 h at 50 and 500 are 1,000.
    expect(desk.price(price)).toMatchObject({ high: { price: null }, overrunHigh: null });
    expect(desk.price({ ...price, price: null }).overrun).toBeNull();
    expect(desk.test(choices).jobs).toBe(4);
  });

  it('answers anew when other choices are made', () => {
    const cost = (hourRate: number | null) => desk.quote({ asked, choices: { ...choices, hourRate } }).similar;
    const of = (rate: number | null) => cost(rate).find(({ job }) => job === 'J-1')?.cost;
    expect([of(50), of(60), of(null)]).toEqual([1000, 1100, null]);
  });
});
