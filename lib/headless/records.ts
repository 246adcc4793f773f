import { readFile, stat, writeFile } from 'node:fs/promises';
import { parseArgs } from 'node:util';
import { recordsArchive } from '../report/many/batch';
import { visible } from '../words/visible';
import { UsageError } from './arguments';
import { runCommand } from './command';
import { filesIn } from './folder';
import { openPrepared, told } from './log';
import { mappingSays, mappingsAt, prepare } from './mapped';

/** Saves the records of many jobs as one archive, as the audit page does. */

const USAGE = `Usage: npm run records -- --in DIR --jobs FILE --out FILE.zip [--mapping FILE]...
  --in DIR        folder with the log (folders in it are looked through too)
  --jobs FILE     text file of job numbers, a line each
  --out FILE.zip  archive to write: index.html, index.csv and a record a job
  --mapping FILE  how sheets with headers of their own become tables of the log (docs/mapping.md); may be given several times
  --help          shows this

Exit status: 0 all saved; 1 a job is not in the log; 2 nothing could be read, or the call was wrong`;

const SAVED = 0;
const MISSING = 1;
const UNREADABLE = 2;

function parse(argv: readonly string[]) {
  try {
    return parseArgs({
      args: [...argv],
      options: {
        in: { type: 'string' },
        jobs: { type: 'string' },
        out: { type: 'string' },
        mapping: { type: 'string', multiple: true },
        help: { type: 'boolean' },
      },
    }).values;
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
}

async function main(): Promise<number> {
  const { in: from, jobs: list, out: to, mapping = [], help } = parse(process.argv.slice(2));
  if (help === true) {
    console.log(USAGE);
    return SAVED;
  }
  if (from === undefined || list === undefined || to === undefined) {
    throw new UsageError('--in, --jobs and --out are all needed.');
  }
  if ((await stat(from).catch(() => null))?.isDirectory() !== true) throw new UsageError(`There is no folder ${from}.`);
  const text = await readFile(list, 'utf8').catch(() => null);
  if (text === null) throw new UsageError(`There is no readable file ${list}.`);
  const lines = text.split(/\r\n|\r|\n/).map((line) => line.trim());
  const jobs = [...new Set(lines.filter((line) => line !== ''))];
  if (jobs.length === 0) throw new UsageError(`${list} names no job.`);
  const prepared = await prepare(await filesIn(from), await mappingsAt(mapping));
  for (const idle of prepared.idle) console.error(mappingSays(idle));
  // When files were loaded is no part of a record.
  const log = await openPrepared(prepared.files, '2000-01-01 00:00:00');
  for (const line of told(log.files)) console.error(line);
  try {
    if (!log.files.some((file) => file.table !== null)) {
      console.error(`Nothing in ${from} could be read as a log.`);
      return UNREADABLE;
    }
    const { archive, saved, missing } = await recordsArchive((sql, params) => log.db.rows(sql, params), jobs, {
      says: [],
    });
    await writeFile(to, new Uint8Array(await archive.arrayBuffer()));
    for (const id of missing) console.error(`The log has no job ${visible(id)}.`);
    console.log(`${saved} of ${jobs.length} records written to ${to}`);
    return missing.length === 0 ? SAVED : MISSING;
  } finally {
    await log.db.close();
  }
}

await runCommand(main(), USAGE, { misused: UNREADABLE, failed: UNREADABLE });
