import { beforeAll, describe, expect, test } from 'vitest';
import { quoteHistoryOf } from '../../lib/quote/history';
import { quoteNames, type QuoteHistory } from '../../lib/quote/types';
import { packQuoteHistory } from '../../lib/store/quote';
import { smallLog } from '../store/smallLog';
import { logOf } from '../store/openLog';

const JOBS = `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,finished_on,work_type,complaint,engine_hours,labour_hours,parts_cost,currency,branch
J-1,S-1,Kestrel,K-1,A,2024-03-04,2024-03-07,recalibrate,Knock ,8000,6.5,40,eur,Millrace
J-2,S-2,Kestrel,K-1,A,2024-03-05,2024-04-02,rebuild,knock,,20,500,EUR,
J-3,S-1,Kestrel,K-1,A,2024-03-06,,test,,,,,,
`;

let history: QuoteHistory;
const named = (kind: 'complaint' | 'currency' | 'branch' | 'serial' | 'work') =>
  Array.from(history[kind], (no) => history.names[kind][no] ?? null);

beforeAll(async () => {
  const log = await logOf({
    ...smallLog,
    'jobs.csv': JOBS,
    'parts.csv': `job_id,element,part,quantity,cost
J-1,,gasket set,1,40
J-2,,plungers and barrels,4,400
J-2,,camshaft bearing,2,100
`,
    'closures.csv': `${smallLog['closures.csv'] ?? ''}J-3,0,1,0,2.60,0.50
J-3,0,3,91.3,,
J-3,0,4,180.2,,
J-3,0,2,268.4,,
`,
  });
  const packed = await packQuoteHistory(log.db);
  history = quoteHistoryOf(packed.columns, packed.names);
  await log.db.close();
});

describe('the history that a quote is told from', () => {
  test('one row a job, open ones too, with names behind the numbers', () => {
    expect(history.names.job).toEqual(['J-1', 'J-2', 'J-3']);
    expect(named('serial')).toEqual(['S-1', 'S-2', 'S-1']);
    expect(named('work')).toEqual(['recalibrate', 'rebuild', 'test']);
    expect(Array.from(history.elements)).toEqual([4, 4, 4]);
    for (const kind of quoteNames) expect(history.names[kind]).not.toContain('');
  });

  test('complaints and currencies are the same whatever their capitals', () => {
    expect(named('complaint')).toEqual(['knock', 'knock', null]);
    expect(named('currency')).toEqual(['EUR', 'EUR', null]);
    expect(named('branch')).toEqual(['Millrace', null, null]);
  });

  test('days from 1970, hours and cost as written; what is empty is not known', () => {
    const day = Date.parse('2024-03-04') / 86_400_000;
    expect(Array.from(history.received)).toEqual([day, day + 1, day + 2]);
    expect(Array.from(history.finished)).toEqual([day + 3, day + 29, NaN]);
    expect(Array.from(history.engineHours)).toEqual([8000, NaN, NaN]);
    expect(Array.from(history.labourHours)).toEqual([6.5, 20, NaN]);
    expect(Array.from(history.partsCost)).toEqual([40, 500, NaN]);
  });

  test('new barrels and camshaft by the lines of parts, a second run by the readings; -1 where nothing tells', () => {
    expect(Array.from(history.newBarrels)).toEqual([0, 1, -1]);
    expect(Array.from(history.camshaft)).toEqual([0, 1, -1]);
    expect(Array.from(history.rerun)).toEqual([1, -1, 0]);
  });

  test('as received is run 0: the worst phase error by size', () => {
    // J-1 was read in runs 1 and 2 alone. J-3: 91.3, 180.2 and 268.4 against 90, 180 and 270.
    expect(history.phasingDeg[0]).toBeNaN();
    expect(history.phasingDeg[2]).toBeCloseTo(1.6, 9);
  });

  test('a column that is missing is told at once', () => {
    expect(() => quoteHistoryOf({}, history.names)).toThrow(TypeError);
  });
});
