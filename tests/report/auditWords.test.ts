import { describe, expect, it } from 'vitest';
import { notFoundSays } from '../../app/audit/words';
import { judgedJobs } from '../../lib/report/many/fleet';
import { job } from './jobs';

const judged = judgedJobs([
  job({ job_id: 'J-1', pump_serial: 'S-1', claim_no: 'W-1' }),
  job({ job_id: 'J-2', pump_serial: 'S-2', claim_no: null }),
]);

describe('what was looked up and no job answers to', () => {
  it('is nothing where each is the number of a job, a pump or a claim', () => {
    expect(notFoundSays(['J-2', 'S-1', 'W-1'], judged)).toBeNull();
    expect(notFoundSays([], judged)).toBeNull();
  });

  it('is told by name, a claim as well', () => {
    expect(notFoundSays(['W-1', 'W-9'], judged)).toBe(
      'W-9 is no job, serial or claim number of the jobs looked at. Either the log does not have it, or the job was set aside as it was read (see Log), or it is no warranty job, or the filters above leave it out.',
    );
    expect(notFoundSays(['W-9', 'W-8'], [])).toMatch(/^W-9, W-8 are each no job, serial or claim number/);
  });

  it('names twelve at most and counts the others', () => {
    const names = Array.from({ length: 14 }, (_, k) => `W-9${k}`);
    expect(notFoundSays(names, judged)).toMatch(/W-911 and 2 more are each no job/);
  });
});
