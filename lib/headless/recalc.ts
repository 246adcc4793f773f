import { mkdir } from 'node:fs/promises';
import type { PreparedFile } from '../log/prepared';
import { asked, USAGE } from './arguments';
import { runCommand } from './command';
import { countLines } from './counts';
import { filesIn } from './folder';
import { countsOf, openPrepared, told, type HeadlessLog } from './log';
import { mappingSays, mappingsAt, prepare } from './mapped';
import { byPartition } from './partitions/run';
import { kinds, listings, results, writeTable } from './write';

const EXIT_USAGE = 2;
const EXIT_NOTHING_READ = 1;

async function write({ db }: HeadlessLog, to: string): Promise<void> {
  await mkdir(to, { recursive: true });
  for (const table of [...results, ...listings()]) {
    for (const kind of kinds) await writeTable(db, table, kind, to);
  }
}

const cameAs = ({ file }: PreparedFile): string => file.origin?.name ?? file.name;

async function main(): Promise<number> {
  const call = await asked(process.argv.slice(2));
  if (call === null) {
    console.log(USAGE);
    return 0;
  }
  const { from, to } = call;
  const at = new Date().toISOString().slice(0, 19).replace('T', ' ');
  if (call.byPartition !== null) return byPartition(call, call.byPartition, at);
  const mappings = await mappingsAt(call.mappings);
  const files = await filesIn(from);
  const prepared = await prepare(files, mappings);
  for (const named of prepared.idle) console.error(mappingSays(named));
  const log = await openPrepared(prepared.files, at);
  for (const line of told(log.files)) console.error(line);
  if (!log.files.some((file) => file.table !== null)) {
    console.error(
      `Nothing in ${from} could be read: it holds ${files.length === 0 ? 'no CSV or Parquet file and no workbook' : 'no table of a log'}.`,
    );
    return EXIT_NOTHING_READ;
  }
  await write(log, to);
  console.log(
    [...countLines(await countsOf(log, log.files, prepared.files.map(cameAs))), `Results written to ${to}`].join('\n'),
  );
  await log.db.close();
  return 0;
}

await runCommand(main(), USAGE, { misused: EXIT_USAGE, failed: EXIT_NOTHING_READ });
