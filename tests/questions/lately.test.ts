import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { HeadlessLog } from '../../lib/headless/log';
import { UNFILTERED, type Filters } from '../../lib/store/filters';
import { changeBetween, firstPassLately, type ModelLately } from '../../lib/store/questions/firstPassLately';
import { returningSerials } from '../../lib/store/questions/returningSerials';
import { rate } from '../../lib/store/questions/rows';
import { logOf } from '../store/openLog';

describe('whether a rate changed', () => {
  it('calls a change clear only where the intervals do not overlap', () => {
    expect(changeBetween(rate(90, 100), rate(40, 100))).toBe('lower');
    expect(changeBetween(rate(40, 100), rate(90, 100))).toBe('higher');
    expect(changeBetween(rate(62, 100), rate(58, 100))).toBe('no clear change');
  });

  it('says nothing of fewer than ten jobs, however far apart', () => {
    expect(changeBetween(rate(100, 100), rate(0, 9))).toBe('not enough jobs to say');
    expect(changeBetween(rate(0, 0), rate(50, 100))).toBe('not enough jobs to say');
    expect(changeBetween(rate(100, 100), rate(0, 10))).toBe('lower');
  });

  it('gives no rate of nothing', () => {
    expect(rate(0, 0)).toEqual({ k: 0, n: 0, share: null, low: null, high: null });
  });
});

/** Jobs that pass or fail by their closure alone: the specification asks for timing and phasing only. */
function shop(
  jobs: readonly (readonly [id: string, day: string, passes: boolean])[],
): Readonly<Record<string, string>> {
  const closures = jobs.flatMap(([id, , passes]) => [`${id},1,1,0,2.1`, `${id},1,2,${passes ? 180 : 183},`]);
  return {
    'specs.csv':
      'spec_id,revision,pump_model,elements,firing_order,lift_mm,lift_minus_mm,lift_plus_mm,phasing_tol_deg\nH-1,A,Heron,2,1-2,2.1,0.05,0.05,0.5\n',
    'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type\n${jobs
      .map(([id, received]) => `${id},S-${id.slice(0, 1)},Heron,H-1,A,${received},test`)
      .join('\n')}\n`,
    'closures.csv': `job_id,run,element,cam_deg,lift_mm\n${closures.join('\n')}\n`,
  };
}

describe('the last twelve months of a log', () => {
  let log: HeadlessLog;
  const lately = async (filters: Filters): Promise<ModelLately[]> =>
    z.array(firstPassLately.row).parse(await log.db.rows(firstPassLately.sql, firstPassLately.params(filters)));
  beforeAll(async () => {
    log = await logOf(
      shop([
        ['A1', '2012-06-30', true],
        ['A2', '2012-07-01', false],
        ['B1', '2013-03-01', true],
        ['C1', '2013-06-30', false],
      ]),
    );
  });
  afterAll(() => log.db.close());

  it('end with the newest job received, whatever the day today', async () => {
    const [heron] = await lately(UNFILTERED);
    expect(heron).toMatchObject({ since: '2012-06-30', newest: '2013-06-30', change: 'not enough jobs to say' });
    expect(heron?.before).toMatchObject({ k: 1, n: 1 });
    expect(heron?.lately).toMatchObject({ k: 1, n: 3 });
  });

  it('end with the last day picked where one is', async () => {
    const [heron] = await lately({ ...UNFILTERED, to: '2012-12-31' });
    expect(heron).toMatchObject({ newest: '2012-07-01', lately: { n: 2 }, before: { n: 0 } });
  });

  it('know which pumps came back', async () => {
    const found = z
      .array(returningSerials.row)
      .parse(await log.db.rows(returningSerials.sql, returningSerials.params(UNFILTERED)));
    expect(found).toMatchObject([
      { pump_serial: 'S-A', jobs: 2, first_day: '2012-06-30', last_day: '2012-07-01', retention: null },
    ]);
  });
});
