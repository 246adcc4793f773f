import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { combine } from '../../lib/calc/proof/verdict';
import { codes } from '../../lib/calc/layout';
import { filesIn } from '../../lib/headless/folder';
import { openLog, type HeadlessLog } from '../../lib/headless/log';
import { buildRecord } from '../../lib/report/ask';
import { recordHash, recordJson, recordSchema, type AuditRecord } from '../../lib/report/record';
import { logOf } from '../store/openLog';
import { auditLog, auditLogWith, recordOf } from './auditLog';

describe('the record of a job', () => {
  let log: HeadlessLog;
  let record: AuditRecord;
  beforeAll(async () => {
    log = await logOf(auditLog);
    record = await recordOf(log);
  });
  afterAll(async () => {
    await log.db.close();
  });

  it('names the job and leaves out who did the work', () => {
    expect(record.job).toMatchObject({
      job_id: 'J-1',
      pump_serial: 'S-1',
      claim_no: 'W-0123',
      received_on: '2024-03-04',
      file: 'jobs.csv',
      row_no: 2,
    });
    expect(recordJson(record)).not.toContain('T-7');
  });

  it('holds the revision worked to beside the one in force on the day', () => {
    const { sheet, revisions, standing } = record.specification;
    expect(sheet).toMatchObject({ revision: 'B', lift_mm: 2.1 });
    expect(standing).toBe('in force');
    expect(revisions.map(({ revision, used, in_force }) => [revision, used, in_force])).toEqual([
      ['A', false, false],
      ['B', true, true],
      ['C', false, false],
    ]);
    expect(record.specification.test_points.map((row) => row.test_point)).toEqual(['full', 'low']);
  });

  it('holds each gauge with the calibration of the day of its readings', () => {
    const gauges = record.gauges.map((each) => [
      each.readings_of,
      each.instrument_id,
      each.calibrated_on,
      each.expanded_uncertainty,
      each.standing,
      each.readings,
    ]);
    expect(gauges).toEqual([
      ['closures', 'D-1', '2023-03-01', 0.02, 'past its date', 12],
      ['draws', null, null, null, 'not written down', 1],
      ['draws', 'G-1', '2024-03-04', 0.5, 'in date', 8],
    ]);
  });

  it('holds every reading as read, with its row', () => {
    expect(record.readings.closures).toHaveLength(12);
    expect(record.readings.draws).toHaveLength(9);
    const fourth = record.readings.draws.find(
      (row) => row.element === 4 && row.test_point === 'full' && row.repeat === 1,
    );
    expect(fourth).toEqual({
      ...{ run: 1, test_point: 'full', repeat: 1, element: 4, volume_cm3: 44, strokes: 500, speed_rpm: 1000 },
      ...{ rack_mm: 12.4, fluid_c: null, feed_kpa: null, stated_mm3_per_stroke: null },
      ...{ taken_at: '2024-03-04 10:06:00', instrument_id: 'G-1', file: 'draws.csv', row_no: 5 },
    });
  });

  it('decides with the uncertainty where the gauge states one, and says by which rule', () => {
    // Lift 2.60 - 0.50 = 2.10 in 2.05 to 2.15 with U = 0.02: conforms. As received 2.12: 2.12 + 0.02 is still within.
    const lift = record.judged.filter(({ figure }) => figure === 'lift to port closure');
    expect(lift.map((each) => [each.run, each.value, each.uncertainty, each.decision, each.rule])).toEqual([
      [0, expect.closeTo(2.12, 9), 0.02, 'conforms', 'guarded'],
      [1, expect.closeTo(2.1, 9), 0.02, 'conforms', 'guarded'],
      [2, expect.closeTo(2.1, 9), 0.02, 'conforms', 'guarded'],
    ]);
    // Mean of 80, 81, 79 and 80 is 80 in 78 to 82; U of each is 1000 * 0.5 / 500 = 1, fully shared.
    const [mean] = record.judged.filter(
      ({ figure, test_point }) => figure === 'mean delivery' && test_point === 'full',
    );
    expect(mean).toMatchObject({ value: 80, low: 78, high: 82, uncertainty: 1, decision: 'conforms', rule: 'guarded' });
    // A dial gauge states no uncertainty of angles, so phase errors are compared plainly: 0.8 is out of 0.5.
    const third = record.judged.find(
      ({ figure, run, element }) => figure === 'phase error' && run === 1 && element === 3,
    );
    expect(third).toMatchObject({
      value: expect.closeTo(0.8, 9) as number,
      decision: 'does not conform',
      rule: 'plain',
    });
    // The spread is 2.0 of 3; U = sqrt(1 + 1) by the elements that are highest and lowest, so 3.41 is beyond: not decided.
    const spread = record.judged.find(({ figure, test_point }) => figure === 'spread' && test_point === 'full');
    expect(spread?.uncertainty).toBeCloseTo(Math.SQRT2, 9);
    expect(spread?.decision).toBe('cannot be decided');
    const governor = record.judged.find(({ figure }) => figure === 'governor or accessory');
    expect(governor).toMatchObject({ value: 12.05, low: 11.9, high: 12.1, decision: 'conforms', rule: 'plain' });
  });

  it('holds as received beside as left', () => {
    const beside = (element: number) =>
      record.received_and_left.find((each) => each.figure === 'phase error' && each.element === element);
    expect(beside(3)).toMatchObject({
      run: 2,
      received: expect.closeTo(1.2, 9) as number,
      received_verdict: 'out',
      left: expect.closeTo(0.1, 9) as number,
      left_verdict: 'in',
    });
    const full = record.received_and_left.find(
      ({ figure, test_point }) => figure === 'mean delivery' && test_point === 'full',
    );
    expect(full).toMatchObject({ run: 1, received: null, received_verdict: 'not measured', left: 80 });
  });

  it('tells what was moved and in which order the steps were taken', () => {
    expect(record.moved).toMatchObject([
      { what: 'shims', run: 1, element: 3, before: 1.2, after: 1.05, change: expect.closeTo(-0.15, 9) as number },
      { what: 'barrel', run: 1, element: 2, change: -0.5, unit: 'deg' },
    ]);
    expect(record.steps.map(({ run, what, test_point, known_by }) => [run, what, test_point, known_by])).toEqual([
      [0, 'closures read', null, 'run and order of work'],
      [1, 'closures read', null, 'run and order of work'],
      [1, 'shims changed', null, 'run and order of work'],
      [1, 'test point drawn', 'low', 'time written down'],
      [1, 'test point drawn', 'full', 'time written down'],
      [1, 'barrels turned', null, 'run and order of work'],
      [1, 'governor read', null, 'run and order of work'],
      [2, 'closures read', null, 'run and order of work'],
    ]);
  });

  it('holds findings with their rows, exclusions and assumptions', () => {
    const found = record.findings.map(({ finding }) => finding);
    expect(found).toEqual(
      expect.arrayContaining(['gauge past its date', 'barrel turned after the last draw', 'test points out of order']),
    );
    expect(record.findings.find(({ finding }) => finding === 'draw before the rack was set')?.places).toEqual([
      { file: 'draws.csv', row_no: 5, last_row_no: 5, n: 1 },
    ]);
    expect(record.exclusions).toMatchObject([{ element: 4, repeat: 1, reading: 12.4, unit: 'mm', row_no: 5 }]);
    expect(record.assumed.map(({ what }) => what)).toEqual([
      expect.stringContaining('count of strokes'),
      expect.stringContaining('shims under the barrel'),
      expect.stringContaining('turning barrels'),
    ]);
  });

  it('names the formula of every figure it judges, and the files by their SHA-256', () => {
    const known = new Set(record.formulas.map(({ name }) => name));
    for (const { formula } of record.judged) expect(known).toContain(formula);
    expect(record.sources.map(({ file, rows }) => [file, rows])).toEqual([
      ['barrels.csv', 1],
      ['checks.csv', 1],
      ['closures.csv', 12],
      ['draws.csv', 9],
      ['governor.csv', 1],
      ['instruments.csv', 3],
      ['jobs.csv', 1],
      ['shims.csv', 1],
      ['specs.csv', 3],
      ['test_points.csv', 2],
    ]);
  });

  it('is the same however the answers of the log are ordered, and whatever was loaded first', async () => {
    const turned = await buildRecord(async (sql, params) => (await log.db.rows(sql, params)).toReversed(), 'J-1');
    expect(turned === null ? '' : recordHash(turned)).toBe(recordHash(record));
    const other = await logOf(Object.fromEntries(Object.entries(auditLog).reverse()));
    expect(recordHash(await recordOf(other))).toBe(recordHash(record));
    await other.db.close();
  });

  it('reads back as itself', () => {
    expect(recordJson(recordSchema.parse(JSON.parse(recordJson(record))))).toBe(recordJson(record));
  });

  it('is none for a job that the log does not have', async () => {
    expect(await buildRecord((sql, params) => log.db.rows(sql, params), "J-1' or '1'='1")).toBeNull();
  });
});

describe('the standing of a revision', () => {
  const standing = async (files: Readonly<Record<string, string>>): Promise<string> => {
    const log = await logOf(files);
    const record = await recordOf(log);
    await log.db.close();
    return record.specification.standing;
  };
  const to = (revision: string) => (text: string) => text.replaceAll('K-1,B', `K-1,${revision}`);
  const worked = (revision: string): Readonly<Record<string, string>> => ({
    ...auditLogWith('jobs.csv', to(revision)),
    'test_points.csv': to(revision)(auditLog['test_points.csv'] ?? ''),
    'checks.csv': to(revision)(auditLog['checks.csv'] ?? ''),
  });

  it('is superseded, or not yet in force, or can not be told', async () => {
    expect(await standing(worked('A'))).toBe('superseded');
    expect(await standing(worked('C'))).toBe('not yet in force');
    expect(await standing(auditLogWith('specs.csv', (text) => text.replace('K-1,B,2024-01-01', 'K-1,B,')))).toBe(
      'cannot be told',
    );
  });
});

describe('records of the demo log', () => {
  let log: HeadlessLog;
  beforeAll(async () => {
    log = await openLog(await filesIn('data-demo/log'), '2026-01-01 08:00:00');
  });
  afterAll(async () => {
    await log.db.close();
  });

  it('decide each test point as the engine does', async () => {
    const jobs = await log.db.rows(
      'select job_id from outcomes order by breaking desc, weakening desc, job_id limit 4',
    );
    let compared = 0;
    for (const { job_id } of jobs) {
      const { judged, results } = await recordOf(log, String(job_id));
      for (const point of results.points) {
        const parts = judged.filter(({ run, test_point }) => run === point.run && test_point === point.test_point);
        const words = {
          conforms: 'in',
          'does not conform': 'out',
          'cannot be decided': 'cannot tell',
          'not measured': 'not measured',
        } as const;
        const together = parts
          .map(({ decision }) => codes.verdict.indexOf(words[decision]))
          .reduce(combine, codes.verdict.indexOf('in'));
        expect([job_id, point.test_point, point.run, codes.verdict[together]]).toEqual([
          job_id,
          point.test_point,
          point.run,
          point.decision,
        ]);
        compared += 1;
      }
    }
    expect(compared).toBeGreaterThan(12);
    // A record is some thirty questions to a large log.
  }, 240_000);
});
