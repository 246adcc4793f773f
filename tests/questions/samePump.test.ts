import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import type { HeadlessLog } from '../../lib/headless/log';
import { samePump } from '../../lib/report/many/samePump';
import type { Question } from '../../lib/store/question';
import { samePumpElements, samePumpFindings, samePumpJobs } from '../../lib/store/questions/samePump';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';

/** Draws of all four elements over 500 strokes: 40 cm3 are 80 mm3/stroke. */
const drawn = (job: string, run: number, point: 'full' | 'low', volumes: readonly number[]): string =>
  volumes
    .map((cm3, i) => `${job},${run},${point},1,${i + 1},${cm3},500,${point === 'full' ? 1000 : 200},12\n`)
    .join('');
const closed = (job: string, run: number, three: number): string =>
  `${job},${run},1,0,2.60,0.50\n${job},${run},3,${three},,\n${job},${run},4,180,,\n${job},${run},2,270,,\n`;

/**
 * Pump S-1 is repaired, tested, and repaired again; S-2 is another of the model. At rack 12 a sound element gives 80 at 1000 rpm and 72 at
 * 200: it keeps 0.9, and leaks 8 / (1/200 - 1/1000) = 2000.
 */
const pumps: Readonly<Record<string, string>> = {
  ...smallLog,
  'specs.csv': (smallLog['specs.csv'] ?? '')
    .replace('shim_step_mm\n', 'shim_step_mm,slot_deg,retention_ratio\n')
    .replace('0.2,0.05\n', '0.2,0.05,20,0.92\n'),
  'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,finished_on,work_type,warranty,complaint,note,engine_hours
Z-1,S-1,Kestrel,K-1,A,2024-03-04,2024-03-08,recalibrate,no,Low power,seals renewed,5000
T-2,S-1,Kestrel,K-1,A,2024-09-02,,test,,,,
A-3,S-1,Kestrel,K-1,A,2024-10-01,2024-10-03,recalibrate,yes,"power, LOW.",,5600
X-9,S-2,Kestrel,K-1,A,2024-06-01,,recalibrate,yes,low power,,10
`,
  'closures.csv': `job_id,run,element,cam_deg,lift_mm,preload_mm\n${closed('Z-1', 1, 90.8)}${closed('Z-1', 2, 90.05)}`,
  // Element 3 loses 0.15 and, after its last closure, gets 0.05 back; the pair of element 2 gains 0.1 on one half alone.
  'shims.csv': `job_id,run,element,before_mm,after_mm,before_second_mm,after_second_mm
Z-1,1,2,1.20,1.30,1.20,1.20
Z-1,1,3,1.20,1.05,,
Z-1,2,3,1.05,1.10,,
X-9,1,1,1.00,2.00,,
`,
  'draws.csv': `job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm\n${[
    drawn('Z-1', 1, 'full', [40, 40, 40, 40]),
    drawn('Z-1', 1, 'low', [36, 36, 36, 36]),
    // As received the second time element 1 is as it was and the others keep 0.8.
    drawn('A-3', 0, 'full', [40, 40, 40, 40]),
    drawn('A-3', 0, 'low', [36, 32, 32, 32]),
    drawn('X-9', 0, 'full', [40, 40, 40, 40]),
  ].join('')}`,
  'barrels.csv': 'job_id,run,element,rotation_deg\nZ-1,1,2,-0.5\nA-3,1,2,-1\nX-9,1,2,3\n',
  'parts.csv': 'job_id,element,part,quantity\nA-3,4,plunger and barrel,1\n',
};

describe('the jobs of one serial number', () => {
  let log: HeadlessLog;
  beforeAll(async () => {
    log = await logOf(pumps);
  });
  afterAll(() => log.db.close());
  const ask = async <R>(question: Question<{ readonly id: string }, R>, id: string): Promise<R[]> =>
    z.array(question.row).parse(await log.db.rows(question.sql, question.params({ id })));

  it('are those of that pump alone, in the order received, whichever of them is asked by', async () => {
    const jobs = await ask(samePumpJobs, 'A-3');
    expect(jobs).toMatchObject([
      {
        ...{ job_id: 'Z-1', received_on: '2024-03-04', left_on: '2024-03-08', work_type: 'recalibrate' },
        ...{ warranty: false, complaint: 'Low power', note: 'seals renewed', engine_hours: 5000, elements: 4 },
        ...{ light_point: 'full', scatter_received: null, scatter_left: 0, stated_retention: 0.92 },
      },
      // A day finished that is not written down is the day received.
      {
        ...{ job_id: 'T-2', received_on: '2024-09-02', left_on: '2024-09-02', work_type: 'test', warranty: null },
        ...{ complaint: null, engine_hours: null, light_point: null, scatter_received: null, scatter_left: null },
      },
      {
        ...{ job_id: 'A-3', received_on: '2024-10-01', left_on: '2024-10-03', warranty: true },
        ...{ complaint: 'power, LOW.', engine_hours: 5600, scatter_received: 0, scatter_left: null },
      },
    ]);
    expect(await ask(samePumpJobs, 'Z-1')).toEqual(jobs);
    expect((await ask(samePumpJobs, 'X-9')).map(({ job_id }) => job_id)).toEqual(['X-9']);
    expect(await ask(samePumpJobs, 'none')).toEqual([]);
  });

  it('tell the wear of each element then and now, and what was moved', async () => {
    const elements = await ask(samePumpElements, 'A-3');
    expect(elements.map(({ job_id, element }) => `${job_id} ${element}`)).toEqual(
      ['Z-1', 'T-2', 'A-3'].flatMap((id) => [1, 2, 3, 4].map((element) => `${id} ${element}`)),
    );
    const of = (id: string, element: number) => elements.find((each) => each.job_id === id && each.element === element);
    const near = (value: number): number => expect.closeTo(value, 6) as number;
    for (const element of [1, 2, 3, 4]) {
      expect(of('Z-1', element)).toMatchObject({
        ...{ points: 'low over full', retention_received: null, retention_left: near(0.9), fitted: false },
        ...{ leak_rack_mm: 12, leak_received: null, leak_left: near(2000), slot_deg: 20 },
      });
      expect(of('T-2', element)).toMatchObject({
        points: null,
        retention_left: null,
        leak_rack_mm: null,
        shim_mm: null,
      });
    }
    expect(of('A-3', 1)).toMatchObject({ retention_received: near(0.9), leak_received: near(2000), leak_left: null });
    // 80 less 64 over the same 0.004.
    expect(of('A-3', 3)).toMatchObject({
      retention_received: near(0.8),
      leak_received: near(4000),
      retention_left: null,
    });
    expect([1, 2, 3, 4].map((element) => of('Z-1', element)?.shim_mm ?? null)).toEqual([
      null,
      near(0.05),
      near(-0.1),
      null,
    ]);
    expect([of('Z-1', 2), of('A-3', 2)]).toMatchObject([
      { turned_deg: near(-0.5), rotation_used_deg: near(-0.5) },
      { turned_deg: near(-1), rotation_used_deg: near(-1.5) },
    ]);
    expect([1, 2, 3, 4].map((element) => of('A-3', element)?.fitted)).toEqual([false, false, false, true]);
  });

  it('tell what breaks or weakens the proof of each, and nothing of another pump or for information', async () => {
    const findings = await ask(samePumpFindings, 'A-3');
    expect(findings).toContainEqual({
      ...{ job_id: 'Z-1', finding: 'shim changed after the last closure', severity: 'breaks the proof' },
      ...{ n: 1, element: null },
    });
    expect(findings.filter(({ finding }) => finding === 'split pair differs')).toMatchObject([
      { job_id: 'Z-1', n: 1, element: 2 },
    ]);
    expect(findings.map(({ job_id }) => job_id)).not.toContain('X-9');
    expect(new Set(findings.map(({ severity }) => severity))).not.toContain('for information');
  });

  it('give the time between and the same complaint, against the last repair and not the test', async () => {
    const history = {
      jobs: await ask(samePumpJobs, 'A-3'),
      elements: await ask(samePumpElements, 'A-3'),
      findings: await ask(samePumpFindings, 'A-3'),
    };
    const { visits, repair, fault } = samePump(history, 'A-3', 12);
    expect(repair?.job_id).toBe('Z-1');
    // 2024-03-08 to 2024-09-02 are 178 days, to 2024-10-01 207; from the test to then 29.
    expect(visits.map(({ days, hours, sameComplaint }) => [days, hours, sameComplaint])).toEqual([
      [null, null, true],
      [178, null, false],
      [29, null, false],
    ]);
    expect(fault).toContainEqual({
      ...{ kind: 'same complaint', then: 'Low power', now: 'power, LOW.', months: 12, days: 207, hours: 600 },
    });
  });
});
