import { sum } from 'd3-array';
import { z } from 'zod';
import { inspect, type LogFile } from '../log/inspect';
import { asItIs, inspectPrepared, type PreparedFile } from '../log/prepared';
import { load, type FileReport } from '../store/load';
import { DirectCalculator } from '../store/native/calculator';
import { NativeDatabase } from '../store/native/database';
import { recalculate, type RecalculationReport } from '../store/recalculate';
import { EMPTY_LOG } from '../store/tables';
import type { Counts } from './counts';

export interface HeadlessLog {
  readonly db: NativeDatabase;
  readonly files: readonly FileReport[];
  readonly calculation: RecalculationReport;
}

/** Loads files into a new database and works every job out: the whole way in one call, as the browser goes it. */
export const openLog = (files: readonly LogFile[], at: string): Promise<HeadlessLog> =>
  openPrepared(files.map(asItIs), at);

/** The same for files that were looked at before, with what was found: refused ones are named as such. */
export async function openPrepared(
  files: readonly PreparedFile[],
  at: string,
  opened?: NativeDatabase,
): Promise<HeadlessLog> {
  const db = opened ?? (await NativeDatabase.open());
  await db.run(EMPTY_LOG);
  const found = new Map(files.map((prepared) => [prepared.file, prepared]));
  const reports = await load(
    db,
    files.map(({ file }) => file),
    { inspect: (file) => inspectPrepared(found.get(file) ?? asItIs(file), inspect), at },
  );
  return { db, files: reports, calculation: await recalculate(db, new DirectCalculator()) };
}

/** What there is to say of files, a line each: that they were refused and why, or a remark. */
export const told = (files: readonly FileReport[]): string[] =>
  files.flatMap(({ file, refused, note }) => ((refused ?? note) === null ? [] : [`${file}: ${refused ?? note ?? ''}`]));

const asideRow = z.object({
  file: z.string(),
  rows_needing_hand: z.int(),
  rows_repeated: z.int(),
  rows_replaced: z.int(),
  rows_mended: z.int(),
});

/**
 * What became of the rows and jobs of some of a log's files, in numbers. `came` names each as it came: the sheets of a workbook are
 * one file, and so is a sheet that was mapped to several tables.
 */
export async function countsOf(
  log: HeadlessLog,
  files: readonly FileReport[],
  came: readonly string[] = files.map(({ file }) => file),
): Promise<Counts> {
  const read = files.filter((file) => file.table !== null);
  const [passes] = await log.db.rows(`select count(*) filter (first_pass = 'yes')::integer as yes,
    count(*) filter (first_pass <> 'not counted')::integer as counted, count(*)::integer as jobs from outcomes`);
  const names = new Set(read.map((file) => file.file));
  const aside = (
    await log.db.rows('select file, rows_needing_hand, rows_repeated, rows_replaced, rows_mended from sources')
  )
    .map((row) => asideRow.parse(row))
    .filter(({ file }) => names.has(file));
  return {
    files: new Set(came.filter((_, i) => files[i]?.table !== null)).size,
    read: sum(read, (file) => file.read),
    accepted: sum(read, (file) => file.accepted),
    setAside: sum(read, (file) => file.setAside),
    toMend: sum(aside, (file) => file.rows_needing_hand),
    repeated: sum(aside, (file) => file.rows_repeated),
    replaced: sum(aside, (file) => file.rows_replaced),
    mended: sum(aside, (file) => file.rows_mended),
    jobs: Number(passes?.jobs ?? 0),
    firstPass: Number(passes?.yes ?? 0),
    counted: Number(passes?.counted ?? 0),
  };
}
