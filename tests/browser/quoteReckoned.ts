import { spawnSync } from 'node:child_process';
import { z } from 'zod';

const answer = z.object({
  estimate: z.object({
    hours: z.object({ median: z.number(), n: z.number() }),
    parts: z.object({ median: z.number() }),
    days: z.object({ median: z.number() }),
    similar: z.array(z.string()),
  }),
  overrun: z.object({ k: z.number(), n: z.number(), share: z.number() }),
  held: z.object({ k: z.number(), n: z.number() }),
});
export type Reckoned = z.infer<typeof answer>;

/** What lib/quote answers of the demo log in Node, where no browser takes part. */
export function reckoned(asked: unknown, choices: unknown, price: number): Reckoned {
  const done = spawnSync('npx', ['tsx', 'tests/browser/quoteInNode.ts', JSON.stringify({ asked, choices, price })], {
    encoding: 'utf8',
    env: { ...process.env, NODE_OPTIONS: '--disable-warning=ExperimentalWarning' },
  });
  if (done.status !== 0) throw new Error(done.stderr);
  return answer.parse(JSON.parse(done.stdout));
}
