import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { resultTables } from '../calc/layout';
import type { PreparedFile } from '../log/prepared';
import { sqlText } from '../store/database';
import { exportSql, FILES_EXPORT, SET_ASIDE_EXPORT } from '../store/tables';
import { asked, USAGE, UsageError } from './arguments';
import { filesIn } from './folder';
import { openPrepared, type HeadlessLog } from './log';
import { mappingSays, mappingsAt, prepare } from './mapped';

const EXIT_USAGE = 2;
const EXIT_NOTHING_READ = 1;

async function write({ db }: HeadlessLog, to: string): Promise<void> {
  await mkdir(to, { recursive: true });
  const tables: readonly (readonly [string, string])[] = [
    ...resultTables.map((name) => [name, exportSql(name)] as const),
    ['set_aside', SET_ASIDE_EXPORT],
    ['files', FILES_EXPORT],
  ];
  for (const [name, sql] of tables) {
    await db.run(`copy (${sql}) to ${sqlText(join(to, `${name}.csv`))} (format csv, header)`);
    await db.run(`copy (${sql}) to ${sqlText(join(to, `${name}.parquet`))} (format parquet, compression zstd)`);
  }
}

const plain = new Intl.NumberFormat('en-US');

const cameAs = (prepared: PreparedFile | undefined): string | undefined =>
  prepared?.file.origin?.name ?? prepared?.file.name;

async function summary(log: HeadlessLog, prepared: readonly PreparedFile[], to: string): Promise<string> {
  const read = log.files.filter((file) => file.table !== null);
  const sum = (of: (file: (typeof read)[number]) => number) =>
    plain.format(read.reduce((total, file) => total + of(file), 0));
  const [passes] = await log.db.rows(`select count(*) filter (first_pass = 'yes')::integer as yes,
    count(*) filter (first_pass <> 'not counted')::integer as counted, count(*)::integer as jobs from outcomes`);
  return [
    // A sheet that was mapped to several tables is one file, and so is a workbook of several sheets.
    `Files read: ${new Set(log.files.flatMap(({ table }, i) => (table === null ? [] : [cameAs(prepared[i])]))).size}`,
    `Rows read: ${sum((file) => file.read)}, accepted: ${sum((file) => file.accepted)}, set aside: ${sum((file) => file.setAside)}`,
    `Jobs calculated: ${plain.format(log.calculation.recalculated)}`,
    `First pass: ${plain.format(Number(passes?.yes ?? 0))} of ${plain.format(Number(passes?.counted ?? 0))} counted, ` +
      `${plain.format(Number(passes?.jobs ?? 0) - Number(passes?.counted ?? 0))} not counted`,
    `Results written to ${to}`,
  ].join('\n');
}

async function main(): Promise<number> {
  const call = await asked(process.argv.slice(2));
  if (call === null) {
    console.log(USAGE);
    return 0;
  }
  const { from, to } = call;
  const mappings = await mappingsAt(call.mappings);
  const files = await filesIn(from);
  const prepared = await prepare(files, mappings);
  for (const named of prepared.idle) console.error(mappingSays(named));
  const log = await openPrepared(prepared.files, new Date().toISOString().slice(0, 19).replace('T', ' '));
  for (const file of log.files) {
    if (file.refused !== null) console.error(`${file.file}: ${file.refused}`);
    else if (file.note !== null) console.error(`${file.file}: ${file.note}`);
  }
  if (!log.files.some((file) => file.table !== null)) {
    console.error(
      `Nothing in ${from} could be read: it holds ${files.length === 0 ? 'no CSV or Parquet file and no workbook' : 'no table of a log'}.`,
    );
    return EXIT_NOTHING_READ;
  }
  await write(log, to);
  console.log(await summary(log, prepared.files, to));
  await log.db.close();
  return 0;
}

main().then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    console.error(error instanceof Error ? error.message : String(error));
    if (error instanceof UsageError) console.error(USAGE);
    process.exitCode = error instanceof UsageError ? EXIT_USAGE : EXIT_NOTHING_READ;
  },
);
