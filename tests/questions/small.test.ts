import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { HeadlessLog } from '../../lib/headless/log';
import { UNFILTERED, type Filters } from '../../lib/store/filters';
import type { Question } from '../../lib/store/question';
import { filterChoices } from '../../lib/store/questions/filterChoices';
import { firstPassByModel } from '../../lib/store/questions/firstPassByModel';
import { jobBarrelRow } from '../../lib/store/questions/jobBarrelRow';
import { jobBarrels } from '../../lib/store/questions/jobBarrels';
import { jobCard } from '../../lib/store/questions/jobCard';
import { jobDeliveries } from '../../lib/store/questions/jobDeliveries';
import { jobDraws } from '../../lib/store/questions/jobDraws';
import { jobExcluded } from '../../lib/store/questions/jobExcluded';
import { jobGovernor } from '../../lib/store/questions/jobGovernor';
import { jobList } from '../../lib/store/questions/jobList';
import { jobParts } from '../../lib/store/questions/jobParts';
import { jobPhasing } from '../../lib/store/questions/jobPhasing';
import { jobPoints } from '../../lib/store/questions/jobPoints';
import { jobRetention } from '../../lib/store/questions/jobRetention';
import { jobStages } from '../../lib/store/questions/jobStages';
import { jobTiming } from '../../lib/store/questions/jobTiming';
import { latestShimChanges } from '../../lib/store/questions/latestShimChanges';
import { phaseErrorsByModel } from '../../lib/store/questions/phaseErrorsByModel';
import { pickedJobs } from '../../lib/store/questions/pickedJobs';
import { retentionByModel } from '../../lib/store/questions/retentionByModel';
import { shimChangesByModel } from '../../lib/store/questions/shimChangesByModel';
import { shimChangesByQuarter } from '../../lib/store/questions/shimChangesByQuarter';
import { setAsideCounts } from '../../lib/store/questions/setAsideCounts';
import { setAsideRows } from '../../lib/store/questions/setAsideRows';
import { shopSummary } from '../../lib/store/questions/shopSummary';
import { sources } from '../../lib/store/questions/sources';
import { visitReadings } from '../../lib/store/questions/visitReadings';
import { visits } from '../../lib/store/questions/visits';
import { logOf } from '../store/openLog';
import { appended, smallLog, smallLogWith } from '../store/smallLog';

const J1 = { id: 'J-1' };

describe('what the pages ask of a log small enough to reckon by hand', () => {
  let log: HeadlessLog;
  beforeAll(async () => {
    log = await logOf({
      ...smallLog,
      'barrels.csv': 'job_id,run,element,rotation_deg\nJ-1,1,2,-0.5\nJ-9,1,2,-0.5\n',
      'checks.csv': 'spec_id,revision,check_id,low,high\nK-1,A,cut-off,0,4\n',
      'governor.csv': 'job_id,run,check_id,speed_rpm,rack_mm\nJ-1,2,cut-off,1300,2.5\n',
      'parts.csv': 'job_id,part,quantity\nJ-1,gasket set,1\n',
    });
  });
  afterAll(() => log.db.close());
  const ask = async <A, R>(question: Question<A, R>, args: A): Promise<R[]> =>
    z.array(question.row).parse(await log.db.rows(question.sql, question.params(args)));

  it('counts the jobs and what became of them', async () => {
    // Element 3 closes 0.8 degrees late at run 1 where 0.5 are allowed: the one job did not pass first time.
    expect(await ask(shopSummary, UNFILTERED)).toMatchObject([
      {
        jobs: 1,
        serials: 1,
        models: 1,
        first_day: '2024-03-04',
        last_day: '2024-03-04',
        passed: 0,
        failed: 1,
        not_counted: 0,
        calculated: 1,
      },
    ]);
    const [kestrel] = await ask(firstPassByModel, UNFILTERED);
    expect(kestrel).toMatchObject({ pump_model: 'Kestrel', n: 1, share: 0, low: 0 });
  });

  it('takes both days of a span in, and no others', async () => {
    const jobs = async (from: string, to: string): Promise<number> =>
      (await ask(jobList, { ...UNFILTERED, finding: null, from, to })).length;
    expect(await jobs('2024-03-04', '2024-03-04')).toBe(1);
    expect(await jobs('2024-03-05', '2024-12-31')).toBe(0);
    expect(await jobs('2024-01-01', '2024-03-03')).toBe(0);
  });

  it.each([
    ['model', 'Kestrel', 'Heron'],
    ['work', 'recalibrate', 'rebuild'],
    ['bench', 'B1', 'B2'],
  ] as const)('narrows by %s', async (filter, present, absent) => {
    expect(await ask(jobList, { ...UNFILTERED, finding: null, [filter]: present })).toHaveLength(1);
    expect(await ask(jobList, { ...UNFILTERED, finding: null, [filter]: absent })).toHaveLength(0);
    expect((await ask(shopSummary, { ...UNFILTERED, [filter]: absent }))[0]).toMatchObject({ jobs: 0, all_jobs: 1 });
  });

  it('lists only the jobs behind a fault, and of them those that the filters let through', async () => {
    const behind = (among: readonly number[] | null, bench: string | null = null) =>
      ask(jobList, { ...UNFILTERED, finding: null, bench, among });
    const [{ job_no } = { job_no: -1 }] = await ask(pickedJobs, UNFILTERED);
    expect(await behind([job_no + 7, job_no])).toHaveLength(1);
    expect(await behind([job_no + 7])).toEqual([]);
    expect(await behind([])).toEqual([]);
    expect(await behind(null)).toHaveLength(1);
    expect(await behind([job_no], 'B1')).toHaveLength(1);
    expect(await behind([job_no], 'B2')).toEqual([]);
    expect(await ask(pickedJobs, { ...UNFILTERED, bench: 'B2' })).toEqual([]);
  });

  it('keeps text of the page out of the SQL', async () => {
    expect(await ask(jobList, { ...UNFILTERED, finding: null, model: "x' or 1 = 1 --" })).toEqual([]);
  });

  it('offers what there is to choose from', async () => {
    expect(await ask(filterChoices, null)).toEqual([
      { kind: 'bench', value: 'B1', jobs: 1 },
      { kind: 'model', value: 'Kestrel', jobs: 1 },
      { kind: 'work', value: 'recalibrate', jobs: 1 },
    ]);
  });

  it('shows the job card with its specification and where it was read', async () => {
    expect(await ask(jobCard, J1)).toMatchObject([
      {
        job_id: 'J-1',
        spec_id: 'K-1',
        spec_revision: 'A',
        newer_revision: null,
        file: 'jobs.csv',
        row_no: 2,
        first_pass: 'no',
        as_left: 'in',
      },
    ]);
    expect(await ask(jobCard, { id: 'J-2' })).toEqual([]);
  });

  it('sets each closure beside what follows from it', async () => {
    const third = (await ask(jobPhasing, J1)).filter((row) => row.element === 3);
    expect(third.map((row) => row.run)).toEqual([1, 2]);
    const [first] = third;
    expect(first).toMatchObject({
      cam_deg: 90.8,
      nominal_deg: 90,
      verdict: 'out',
      file: 'closures.csv',
      row_no: 3,
      shims_file: 'shims.csv',
      shims_row_no: 2,
    });
    // 0.8 degrees late at 0.2 mm a degree: take 0.16 mm out; 0.15 were taken.
    expect(first?.error_deg).toBeCloseTo(0.8, 9);
    expect(first?.shim_change_mm).toBeCloseTo(-0.16, 9);
    expect(first?.made_mm).toBeCloseTo(-0.15, 9);
    expect((await ask(jobTiming, J1))[0]).toMatchObject({
      run: 1,
      worst_element: 3,
      phasing_verdict: 'out',
      timing_verdict: 'in',
    });
  });

  it('names the draw that does not count, its reading and its window', async () => {
    expect(await ask(jobExcluded, J1)).toMatchObject([
      {
        test_point: 'full',
        element: 4,
        repeat: 1,
        reason: 'rack outside its window',
        reading: 12.4,
        file: 'draws.csv',
        row_no: 5,
      },
    ]);
    const draws = await ask(jobDraws, J1);
    expect(draws).toHaveLength(9);
    expect(draws.filter((row) => row.reasons !== null)).toMatchObject([
      { element: 4, repeat: 1, volume_cm3: 44, mm3_per_stroke: 88 },
    ]);
  });

  it('gives the test points in the order of work with mean and spread', async () => {
    const points = await ask(jobPoints, J1);
    expect(points.map((row) => row.test_point)).toEqual(['full', 'low']);
    // Full: 80, 81, 79 and 80 mm3/stroke; low: 72, 70, 68 and 70.
    expect(points[0]).toMatchObject({ mean_mm3: 80, spread: 2, spread_basis: 'range_mm3', verdict: 'in' });
    expect(points[1]).toMatchObject({ mean_mm3: 70, spread: 4, verdict: 'in' });
    const full = (await ask(jobDeliveries, J1)).filter((row) => row.point === points[0]?.point);
    expect(full.map((row) => row.mm3_per_stroke)).toEqual([80, 81, 79, 80]);
    expect((await ask(jobStages, J1)).map((row) => row.test_point)).toEqual([null, 'full', 'low', null]);
  });

  it('holds low speed against rated speed', async () => {
    const kept = await ask(jobRetention, J1);
    expect(kept.find((row) => row.element === 1)?.retention).toBeCloseTo(72 / 80, 9);
    expect(kept.find((row) => row.element === 4)?.retention).toBeCloseTo(70 / 80, 9);
    const [quarter] = await ask(retentionByModel, UNFILTERED);
    expect(quarter).toMatchObject({ occasion: 'as left', quarter: '2024-01-01', n: 4, points: 'low over full' });
  });

  it('finds the change made under element 3 again, by quarter and in the list', async () => {
    const [change] = await ask(shimChangesByQuarter, UNFILTERED);
    expect(change).toMatchObject({ element: 3, quarter: '2024-01-01', n: 1 });
    expect(change?.median).toBeCloseTo(-0.15, 9);
    expect(await ask(latestShimChanges, { ...UNFILTERED, element: 3 })).toHaveLength(1);
    expect(await ask(latestShimChanges, { ...UNFILTERED, element: 2 })).toHaveLength(0);
    // Nothing was measured as received.
    expect(await ask(phaseErrorsByModel, UNFILTERED)).toEqual([]);
  });

  it('puts stacks and deliveries under the barrels', async () => {
    const barrels = await ask(jobBarrelRow, J1);
    expect(barrels.map((row) => row.element)).toEqual([1, 2, 3, 4]);
    expect(barrels[2]).toMatchObject({
      stack_before_mm: 1.2,
      stack_after_mm: 1.05,
      left_mm3: 79,
      left_verdict: 'in',
      test_point: 'full',
    });
    expect(barrels[0]).toMatchObject({
      stack_before_mm: null,
      received_mm3: null,
      received_verdict: 'not measured',
      left_mm3: 80,
    });
  });

  it('follows one serial number over its visits', async () => {
    expect(await ask(visits, { serial: 'S-1' })).toMatchObject([
      { visit: 1, job_id: 'J-1', first_pass: 'no', as_left: 'in' },
    ]);
    const readings = await ask(visitReadings, { serial: 'S-1' });
    expect(readings.map((row) => row.element)).toEqual([1, 2, 3, 4]);
    expect(readings[2]).toMatchObject({ stack_before_mm: 1.2, stack_after_mm: 1.05, error_received_deg: null });
    expect(readings[2]?.retention_left).toBeCloseTo(68 / 79, 9);
    expect(await ask(visits, { serial: 'S-2' })).toEqual([]);
  });

  it('lists what else was written down with file and row', async () => {
    expect(await ask(jobBarrels, J1)).toMatchObject([
      { element: 2, rotation_deg: -0.5, file: 'barrels.csv', row_no: 2 },
    ]);
    expect(await ask(jobGovernor, J1)).toMatchObject([
      { check_id: 'cut-off', speed_rpm: 1300, file: 'governor.csv', row_no: 2 },
    ]);
    expect(await ask(jobParts, J1)).toMatchObject([{ part: 'gasket set', quantity: 1, file: 'parts.csv', row_no: 2 }]);
  });

  it('accounts for every row read', async () => {
    const files = await ask(sources, null);
    for (const file of files) expect(file.rows_accepted + file.rows_set_aside).toBe(file.rows_read);
    expect(files.find((file) => file.file === 'barrels.csv')).toMatchObject({
      rows_read: 2,
      rows_accepted: 1,
      rows_set_aside: 1,
    });
    expect(await ask(setAsideCounts, null)).toEqual([{ kind: 'reference', file: 'barrels.csv', rows: 1 }]);
    expect(await ask(setAsideRows, { kind: 'reference', file: null })).toMatchObject([
      { file: 'barrels.csv', row_no: 3, value: 'J-9' },
    ]);
    expect(await ask(setAsideRows, { kind: 'format', file: null })).toEqual([]);
  });
});

describe('a split pair made even at the height it had', () => {
  it('is a change, as the engine counts it: it is listed, and its nothing counts in the middles', async () => {
    // Element 4 loses 0.1 on one half and gains it on the other; the pair of element 2 is written down and left alone.
    const log = await logOf({
      ...smallLog,
      'shims.csv': `job_id,run,element,before_mm,after_mm,before_second_mm,after_second_mm
J-1,1,2,1.00,1.00,1.20,1.20
J-1,1,3,1.20,1.05,,
J-1,1,4,1.00,1.10,1.20,1.10
`,
    });
    const ask = async <R>({ sql, params, row }: Question<Filters & { element: null }, R>): Promise<R[]> =>
      z.array(row).parse(await log.db.rows(sql, params({ ...UNFILTERED, element: null })));
    const ofFour = { element: 4, n: 1, median: expect.closeTo(0, 9) as number };
    expect((await ask(latestShimChanges)).map(({ element, made_mm }) => [element, made_mm])).toEqual([
      [3, expect.closeTo(-0.15, 9)],
      [4, expect.closeTo(0, 9)],
    ]);
    expect(await ask(shimChangesByModel)).toMatchObject([{ element: 3, n: 1 }, ofFour]);
    expect(await ask(shimChangesByQuarter)).toMatchObject([{ element: 3, n: 1 }, ofFour]);
    expect(await log.db.rows('select done_barrels from shim_plans where run = 1')).toEqual([{ done_barrels: 2 }]);
    await log.db.close();
  });
});

describe('a stack written down twice, off in the last binary place', () => {
  it('is no change: it is in no list and counts in no middle', async () => {
    const log = await logOf(smallLogWith('shims.csv', appended('J-1,1,4,0.4,0.3999999999999999')));
    const ask = async <R>({ sql, params, row }: Question<Filters & { element: null }, R>): Promise<R[]> =>
      z.array(row).parse(await log.db.rows(sql, params({ ...UNFILTERED, element: null })));
    expect((await ask(latestShimChanges)).map(({ element }) => element)).toEqual([3]);
    expect((await ask(shimChangesByModel)).map(({ element }) => element)).toEqual([3]);
    expect((await ask(shimChangesByQuarter)).map(({ element }) => element)).toEqual([3]);
    await log.db.close();
  });
});
