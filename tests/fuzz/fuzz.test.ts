import { expect, it } from 'vitest';
import { caseOf, faultOf, hearingFalls } from './cases';
import { readerNames } from './readers';

/** A short set of the long run (`npm run fuzz`): always the same cases; FC_SEED looks elsewhere. */

const SEED = Number(process.env.FC_SEED ?? '20260101');
const CASES = 300;

it('files changed at random are refused in words, or taken in with sums that hold, and the log stays usable', async () => {
  const faults: string[] = [];
  const met = new Set<string>();
  await hearingFalls(async () => {
    for (let number = 0; number < CASES; number += 1) {
      const made = await caseOf(SEED, number);
      met.add(made.reader);
      const fault = await faultOf(made);
      if (fault !== null) faults.push(`npm run fuzz -- --seed ${SEED} --case ${number} (${made.reader}): ${fault}`);
    }
  });
  expect(faults).toEqual([]);
  expect([...met].sort()).toEqual([...readerNames].sort());
});
