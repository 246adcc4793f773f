import { describe, expect, it } from 'vitest';
import { summaryOf } from '../../lib/report/summary';
import { summarySchema } from '../../lib/report/record';
import { clean, found, gauged, job, staged } from './jobs';

describe('the state of a record as it states it itself', () => {
  it('is ready without a reason where nothing stands against it', () => {
    expect(summaryOf(clean)).toEqual({ state: 'ready', reasons: [] });
  });

  it('leaves out what is for information, which changes no state', () => {
    expect(summaryOf(job({ finished_on: null, gauges: [gauged('G-1', 'no uncertainty')] }))).toEqual({
      state: 'ready',
      reasons: [],
    });
  });

  it('tells each reason in the words of the queue, the gravest first, and whether it can be supplied', () => {
    const told = summaryOf(
      job({
        ...{ unnamed: 3, finished_on: null, findings: [found('governor missing')] },
        stages: [staged('test point', 'Base', 'out')],
      }),
    );
    expect(told).toEqual({
      state: 'not ready',
      reasons: [
        {
          code: 'left out of limits',
          says: 'By its last readings the pump left outside its limits (test point Base).',
          supply: 'no',
        },
        expect.objectContaining({ code: 'governor missing', supply: 'if it was written down' }) as object,
        {
          code: 'gauge not named',
          says: 'Readings do not say which gauge they were taken with (3 of 40 readings).',
          supply: 'if it was written down',
        },
      ],
    });
  });

  it('is ready with remarks where the proof is weakened alone', () => {
    const told = summaryOf(job({ gauges: [gauged('G-8', 'not listed')] }));
    expect(told).toMatchObject({ state: 'ready with remarks', reasons: [{ code: 'gauge not listed', supply: 'yes' }] });
  });

  it('holds severity and nothing else back, so that a record takes it', () => {
    const told = summaryOf(job({ findings: [found('gauge past its date')] }));
    expect(summarySchema.parse(told)).toEqual(told);
    expect(told.reasons.map((each) => Object.keys(each).sort())).toEqual([['code', 'says', 'supply']]);
  });
});
