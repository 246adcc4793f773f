import { caseOf, faultOf, hearingFalls } from './cases';

/** Some cases in a process of their own, for tests/fuzz/run.ts: `tsx some.ts SEED FROM TO`, telling each over the channel. */

const [seed = 0, from = 0, to = 0] = process.argv.slice(2).map(Number);

await hearingFalls(async () => {
  for (let number = from; number < to; number += 1) {
    const made = await caseOf(seed, number);
    process.send?.({ number, reader: made.reader });
    const fault = await faultOf(made);
    process.send?.({ number, reader: made.reader, fault });
  }
});
process.exit(0);
