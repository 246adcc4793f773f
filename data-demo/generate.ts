import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { writeLog } from './files';
import { textOfTruths } from './truths';

const usage = `Usage: npx tsx data-demo/generate.ts [--jobs 2500] [--seed 1] [--out data-demo] [--format parquet|csv|both]
                                        [--sound]

Writes OUT/log (Parquet: the whole log), OUT/csv (CSV: the whole log, where asked for), OUT/year (CSV: the latest year)
and OUT/truths.json (what was planted in it; with --sound nothing is). Rounds of the benches come on top of --jobs.`;

const flags = z.object({
  jobs: z.coerce.number().int().min(1).max(1_000_000),
  seed: z.coerce
    .number()
    .int()
    .min(0)
    .max(2 ** 31 - 1),
  out: z.string().min(1),
  format: z.enum(['parquet', 'csv', 'both']),
  sound: z.boolean(),
});

function readFlags(): z.infer<typeof flags> | null {
  try {
    const { values } = parseArgs({
      options: {
        jobs: { type: 'string', default: '2500' },
        seed: { type: 'string', default: '1' },
        out: { type: 'string', default: 'data-demo' },
        format: { type: 'string', default: 'parquet' },
        sound: { type: 'boolean', default: false },
        help: { type: 'boolean', default: false },
      },
    });
    if (values.help) return null;
    const read = flags.safeParse(values);
    if (read.success) return read.data;
    for (const issue of read.error.issues) console.error(`--${issue.path.join('.')}: ${issue.message}`);
    return null;
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    console.error(error.message);
    return null;
  }
}

const options = readFlags();
if (options === null) {
  console.error(usage);
  process.exitCode = 2;
} else {
  mkdirSync(options.out, { recursive: true });
  const truths = writeLog({ ...options, faults: !options.sound });
  writeFileSync(join(options.out, 'truths.json'), textOfTruths(truths));
  for (const [folder, counts] of Object.entries(truths.rows)) {
    const total = Object.values(counts).reduce((sum, count) => sum + count, 0);
    console.log(
      `${join(options.out, folder)}: ${total} rows, ${truths.bad_rows.filter((bad) => bad.folder === folder).length} of them bad`,
    );
  }
}
