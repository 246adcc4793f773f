import { unzipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { outcomeOf, sampleSays } from '../../app/audit/plan';
import { judgedJobs } from '../../lib/report/many/fleet';
import { recordsArchive } from '../../lib/report/many/batch';
import { logOf } from '../store/openLog';
import { smallLog } from '../store/smallLog';
import { found, job } from './jobs';

/** One that would hold, one with a remark, one that would not. */
const drawn = judgedJobs([
  job({ job_id: 'a' }),
  job({ job_id: 'b', unnamed: 1 }),
  job({ job_id: 'c', findings: [found('gauge past its date')] }),
]);
const plan = { n: 3, c: 0, says: '' };

describe('what a drawn sample came to', () => {
  it('counts against the lot what would not hold, and no remark', () => {
    expect(outcomeOf(drawn, plan, 10)).toMatchObject({ found: 1, accepted: false });
    expect(outcomeOf(drawn, { ...plan, c: 1 }, 10)).toMatchObject({ found: 1, accepted: true });
  });

  it('is said with its seed, in the list of the archive too', async () => {
    const says = sampleSays(drawn, plan, 10, { all: false, seed: 4711 });
    expect(says).toBe(
      'A sample of 3 of the 10\u00a0warranty jobs, drawn with seed 4711: 1 would not hold, 0 allowed, not accepted.',
    );
    const log = await logOf(smallLog);
    const { archive } = await recordsArchive((sql, params) => log.db.rows(sql, params), ['J-1'], { says: [says] });
    await log.db.close();
    const files = unzipSync(new Uint8Array(await archive.arrayBuffer()));
    expect(new TextDecoder().decode(files['index.html'])).toContain(`<p>${says}</p>`);
  });
});
