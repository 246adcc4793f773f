import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { HeadlessLog } from '../../lib/headless/log';
import { inspect } from '../../lib/log/inspect';
import { readinessOf } from '../../lib/report/many/readiness';
import { auditQueue, type AuditQueueArgs, type QueuedJob } from '../../lib/store/questions/auditQueue';
import { load } from '../../lib/store/load';
import { DirectCalculator } from '../../lib/store/native/calculator';
import { recalculate } from '../../lib/store/recalculate';
import { logOf, textFile } from '../store/openLog';
import { smallLog } from '../store/smallLog';

const ALL: AuditQueueArgs = {
  ...{ from: null, to: null, model: null, work: null, bench: null },
  ...{ warranty: false, number: null, among: null },
};

/** Closures of four elements, in or with element 3 late by so many degrees, all read with one gauge. */
const closures = (id: string, late: number, gauge: string): string =>
  [
    `${id},1,1,0,2.10,${gauge}`,
    `${id},1,3,${90 + late},,${gauge}`,
    `${id},1,4,180,,${gauge}`,
    `${id},1,2,270,,${gauge}`,
  ].join('\n');
/** Draws of four elements at both test points, 80 and 70 mm3/stroke. */
const draws = (id: string, gauge: string): string =>
  [1, 2, 3, 4]
    .flatMap((e) => [`${id},1,full,1,${e},40,500,1000,12,${gauge}`, `${id},1,low,1,${e},35,500,200,12,${gauge}`])
    .join('\n');

describe('the queue of an auditor, of a log small enough to reckon by hand', () => {
  let log: HeadlessLog;
  beforeAll(async () => {
    log = await logOf({
      ...smallLog,
      'specs.csv': `spec_id,revision,valid_from,pump_model,elements,firing_order,lift_mm,lift_minus_mm,lift_plus_mm,phasing_tol_deg,lift_rate_mm_per_deg
K-1,A,2020-01-01,Kestrel,4,1-3-4-2,2.10,0.05,0.05,0.5,0.2
K-1,B,2024-03-03,Kestrel,4,1-3-4-2,2.10,0.05,0.05,0.5,0.2
H-1,A,,Heron,4,1-3-4-2,2.10,0.05,0.05,,0.2
`,
      'test_points.csv': ['K-1,A', 'K-1,B']
        .flatMap((spec) => [
          `${spec},full,full,1,1000,10,12,0.1,78,82,3,range_mm3,500`,
          `${spec},low,low-speed,2,200,5,12,0.1,66,74,6,range_mm3,500`,
        ])
        .reduce(
          (text, line) => `${text}${line}\n`,
          'spec_id,revision,test_point,purpose,order,speed_rpm,speed_tol_rpm,rack_mm,rack_tol_mm,low_mm3,high_mm3,spread,spread_basis,strokes\n',
        ),
      'instruments.csv': `instrument_id,kind,calibrated_on,due_on,expanded_uncertainty,unit
G-1,graduate,2023-06-01,2024-06-01,0.01,cm3
G-2,graduate,2022-06-01,2024-03-04,0.01,cm3
G-3,graduate,2024-03-05,2025-03-05,0.01,cm3
P-1,protractor,2023-06-01,2024-06-01,0.05,cam_deg
P-2,protractor,2023-06-01,2024-06-01,,
`,
      'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,finished_on,work_type,bench_id,warranty,claim_no
J-1,S-1,Kestrel,K-1,B,2024-03-04,2024-03-05,recalibrate,B1,yes,W-0123
J-2,S-2,Kestrel,K-1,A,2024-03-04,2024-03-05,recalibrate,B1,yes,W-0123
J-3,S-1,Kestrel,K-1,B,2024-03-04,,recalibrate,B2,no,
J-4,S-4,Heron,H-1,A,2024-03-03,2024-03-05,test,,,
J-5,S-5,Kestrel,K-1,B,2024-03-02,2024-03-05,test,B1,yes,W-0124
J-6,S-6,Kestrel,K-1,B,2024-03-01,2024-03-05,test,B1,no,
`,
      'closures.csv': `job_id,run,element,cam_deg,lift_mm,instrument_id
${closures('J-1', 0, 'P-1')}
${closures('J-2', 0.8, 'P-9')}
${closures('J-3', 0.48, 'P-1')}
${closures('J-4', 0, 'P-2')}
${closures('J-5', 0, '')}
`,
      'shims.csv': 'job_id,run,element,before_mm,after_mm\n',
      'draws.csv': `job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm,instrument_id
${draws('J-1', 'G-1')}
${draws('J-2', 'G-2')}
${draws('J-3', 'G-3')}
`,
    });
  });
  afterAll(() => log.db.close());
  const ask = async (change: Partial<AuditQueueArgs> = {}): Promise<QueuedJob[]> =>
    z.array(auditQueue.row).parse(await log.db.rows(auditQueue.sql, auditQueue.params({ ...ALL, ...change })));
  const ids = async (change: Partial<AuditQueueArgs>): Promise<string[]> =>
    (await ask(change)).map((row) => row.job_id).sort();
  const one = async (id: string): Promise<QueuedJob> => {
    const [row] = await ask({ among: [id] });
    if (row === undefined) throw new Error(`No job ${id}`);
    return row;
  };
  const codes = async (id: string): Promise<readonly string[]> =>
    readinessOf(await one(id)).reasons.map(({ code }) => code);

  it('lists the newest first', async () => {
    expect((await ask()).map((row) => row.received_on)).toEqual([
      ...['2024-03-04', '2024-03-04', '2024-03-04', '2024-03-03', '2024-03-02', '2024-03-01'],
    ]);
  });

  it('narrows to warranty jobs, to a number looked up, and to what was pasted: job, serial or claim numbers', async () => {
    expect(await ids({ warranty: true })).toEqual(['J-1', 'J-2', 'J-5']);
    expect(await ids({ number: 'S-1' })).toEqual(['J-1', 'J-3']);
    expect(await ids({ number: 'J-4' })).toEqual(['J-4']);
    expect(await ids({ number: 'W-0123' })).toEqual(['J-1', 'J-2']);
    expect(await ids({ number: 'W-9999' })).toEqual([]);
    expect(await ids({ among: ['W-0124', 'W-9999', 'J-4'] })).toEqual(['J-4', 'J-5']);
    expect(await ids({ number: 'W-0123', among: ['S-2'] })).toEqual(['J-2']);
    expect(await ids({ among: ['S-1', 'J-4', 'J-9'] })).toEqual(['J-1', 'J-3', 'J-4']);
    expect(await ids({ among: [] })).toEqual([]);
    expect(await ids({ among: ["' or true --"] })).toEqual([]);
    expect(await ids({ model: 'Kestrel', bench: 'B1', warranty: true, to: '2024-03-02' })).toEqual(['J-5']);
  });

  it('has nothing to say of a job that is in order', async () => {
    expect(await one('J-1')).toMatchObject({
      ...{ findings: [], stages: [], gauges: [], readings: 12, unnamed: 0 },
      claim_no: 'W-0123',
      ...{ as_left: 'in', as_left_decision: 'in', revision_in_force: null, superseded_on: null },
    });
    expect(readinessOf(await one('J-1'))).toEqual({ state: 'ready', reasons: [] });
  });

  it('tells what left out, the revision in force, and the gauge on the very day it was due', async () => {
    const row = await one('J-2');
    expect(row).toMatchObject({ revision_in_force: 'B', superseded_on: '2024-03-03' });
    expect(row.stages).toEqual([{ stage: 'timing and phasing', test_point: null, as_left: 'out', decision: 'out' }]);
    expect(row.gauges).toEqual([
      { instrument_id: 'G-2', standing: 'past its date', calibrated_on: '2022-06-01', due_on: '2024-03-04' },
      { instrument_id: 'P-9', standing: 'not listed', calibrated_on: null, due_on: null },
    ]);
    expect(await codes('J-2')).toEqual([
      ...['left out of limits', 'superseded revision', 'gauge past its date', 'gauge not listed'],
    ]);
  });

  it('tells what can’t be decided, and a gauge calibrated only the day after', async () => {
    const row = await one('J-3');
    // 0.48 degrees late where 0.5 are allowed, read to 0.05.
    expect(row.stages).toEqual([
      { stage: 'timing and phasing', test_point: null, as_left: 'in', decision: 'cannot tell' },
    ]);
    expect(row.gauges).toMatchObject([{ instrument_id: 'G-3', standing: 'no calibration' }]);
    expect(await codes('J-3')).toEqual(['gauge without calibration', 'cannot be decided', 'day finished not written']);
  });

  it('tells a tolerance that was assumed, and a gauge without uncertainty', async () => {
    expect(await codes('J-4')).toEqual(['phasing tolerance assumed', 'uncertainty not stated']);
  });

  it('tells test points that were never drawn, by name, and readings that name no gauge', async () => {
    const row = await one('J-5');
    expect(row.findings.map(({ finding, test_point }) => [finding, test_point])).toEqual([
      ['test point missing', 'full'],
      ['test point missing', 'low'],
    ]);
    expect(row).toMatchObject({ readings: 4, unnamed: 4 });
    expect(await codes('J-5')).toEqual(['test point missing', 'gauge not named']);
  });

  it('tells that nothing was measured at all', async () => {
    const { state, reasons } = readinessOf(await one('J-6'));
    expect(state).toBe('not ready');
    expect(reasons.map(({ says }) => says)).toEqual([
      'A stage that the specification asks for was not measured to its end (timing and phasing, test points full and low).',
    ]);
  });
});

it('goes by what came in with a later load: a revision that was in force, and a gauge listed at last', async () => {
  const log = await logOf({
    ...smallLog,
    'closures.csv': `job_id,run,element,cam_deg,lift_mm,instrument_id\n${closures('J-1', 0, 'P-7')}\n`,
  });
  const told = async (): Promise<QueuedJob[]> =>
    z.array(auditQueue.row).parse(await log.db.rows(auditQueue.sql, auditQueue.params(ALL)));
  expect(await told()).toMatchObject([
    { revision_in_force: null, gauges: [{ instrument_id: 'P-7', standing: 'not listed' }] },
  ]);
  const [head = '', first = ''] = (smallLog['specs.csv'] ?? '').split('\n');
  const dated = (line: string, more: string): string => line.replace(/^([^,]*,[^,]*),/, `$1,${more},`);
  await load(
    log.db,
    [
      textFile('gauges.csv', 'instrument_id,kind,calibrated_on,due_on\nP-7,protractor,2023-01-01,2024-01-01\n'),
      textFile(
        'revised.csv',
        `${dated(head, 'valid_from')}\n${dated(first, '2020-01-01')}\n${dated(first, '2024-02-01').replace('K-1,A', 'K-1,B')}\n`,
      ),
    ],
    { inspect, at: '2026-01-02 08:00:00' },
  );
  await recalculate(log.db, new DirectCalculator());
  expect(await told()).toMatchObject([
    {
      ...{ revision_in_force: 'B', superseded_on: '2024-02-01' },
      gauges: [{ instrument_id: 'P-7', standing: 'past its date', due_on: '2024-01-01' }],
    },
  ]);
  await log.db.close();
});
