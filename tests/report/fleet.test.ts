import { describe, expect, it, test } from 'vitest';
import {
  fleetPeriods,
  judgedJobs,
  mostFrequent,
  partCounts,
  periodOf,
  reasonCounts,
  stateCounts,
} from '../../lib/report/many/fleet';
import { found, job } from './jobs';

const gauge = [found('gauge past its date')];
const slip = [found('shim change misreckoned')];
const judged = judgedJobs([
  job({ job_id: 'a', received_on: '2024-01-31', pump_model: 'Heron' }),
  job({ job_id: 'b', received_on: '2024-02-01', findings: gauge }),
  job({ job_id: 'c', received_on: '2024-03-31', findings: [...gauge, ...slip] }),
  job({ job_id: 'd', received_on: '2024-04-01', findings: slip, bench_id: null }),
  job({ job_id: 'e', received_on: '2024-04-02', finished_on: null }),
]);

describe('a fleet of claims', () => {
  it('has those that would not hold first', () => {
    expect(judged.map((each) => each.job.job_id)).toEqual(['b', 'c', 'd', 'a', 'e']);
    expect(stateCounts(judged)).toEqual({ ready: 2, 'ready with remarks': 1, 'not ready': 2 });
  });

  it('counts reasons by jobs, and where one stands alone', () => {
    expect(reasonCounts(judged)).toMatchObject([
      { code: 'gauge past its date', jobs: 2, alone: 1, first: '2024-02-01', last: '2024-03-31', supply: 'yes' },
      { code: 'shim change misreckoned', jobs: 2, alone: 1, first: '2024-03-31', last: '2024-04-01' },
      { code: 'day finished not written', jobs: 1, alone: 0 },
    ]);
    expect(mostFrequent(reasonCounts(judged))?.code).toBe('gauge past its date');
    expect(mostFrequent([])).toBeNull();
  });

  it('tells parts apart, the lowest share first, without those whose part is not written', () => {
    expect(partCounts(judged, 'model', 'holds')).toEqual([
      { part: 'Kestrel', k: 1, n: 4 },
      { part: 'Heron', k: 1, n: 1 },
    ]);
    expect(partCounts(judged, 'bench', 'shim change misreckoned')).toEqual([{ part: 'B1', k: 1, n: 4 }]);
  });

  it('follows one reason by bench and month, and leaves out jobs without a bench', () => {
    // By hand: of B1, b and c came in February and March with the gauge past its date; a in January and e in April without; d names no bench.
    expect(fleetPeriods(judged, 'bench', 'month', 'gauge past its date')).toMatchObject([
      { part: 'B1', period: '2024-01-01', n: 1, k: 0 },
      { part: 'B1', period: '2024-02-01', n: 1, k: 1 },
      { part: 'B1', period: '2024-03-01', n: 1, k: 1 },
      { part: 'B1', period: '2024-04-01', n: 1, k: 0 },
    ]);
    expect(fleetPeriods(judged, 'bench', 'quarter', 'holds')).toMatchObject([
      { part: 'B1', period: '2024-01-01', n: 3, k: 1 },
      { part: 'B1', period: '2024-04-01', n: 1, k: 1 },
    ]);
  });

  it('counts by month and quarter received', () => {
    expect(fleetPeriods(judged, 'none', 'quarter', 'holds')).toMatchObject([
      { part: '', period: '2024-01-01', n: 3, k: 1 },
      { part: '', period: '2024-04-01', n: 2, k: 1 },
    ]);
    expect(fleetPeriods(judged, 'model', 'month', 'holds')).toMatchObject([
      { part: 'Heron', period: '2024-01-01', n: 1, k: 1 },
      { part: 'Kestrel', period: '2024-02-01', n: 1, k: 0 },
      { part: 'Kestrel', period: '2024-03-01', n: 1, k: 0 },
      { part: 'Kestrel', period: '2024-04-01', n: 2, k: 1 },
    ]);
  });

  test.each([
    ['2024-01-31', '2024-01-01', '2024-01-01'],
    ['2024-06-30', '2024-06-01', '2024-04-01'],
    ['2024-12-31', '2024-12-01', '2024-10-01'],
  ])('%s is in the month of %s and the quarter of %s', (day, month, quarter) => {
    expect(periodOf(day, 'month')).toBe(month);
    expect(periodOf(day, 'quarter')).toBe(quarter);
  });
});
