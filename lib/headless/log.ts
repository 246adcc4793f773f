import { inspect, type LogFile } from '../log/inspect';
import { asItIs, inspectPrepared, type PreparedFile } from '../log/prepared';
import { load, type FileReport } from '../store/load';
import { DirectCalculator } from '../store/native/calculator';
import { NativeDatabase } from '../store/native/database';
import { recalculate, type RecalculationReport } from '../store/recalculate';
import { EMPTY_LOG } from '../store/tables';

export interface HeadlessLog {
  readonly db: NativeDatabase;
  readonly files: readonly FileReport[];
  readonly calculation: RecalculationReport;
}

/** Loads files into a new database and works every job out: the whole way in one call, as the browser goes it. */
export const openLog = (files: readonly LogFile[], at: string): Promise<HeadlessLog> =>
  openPrepared(files.map(asItIs), at);

/** The same for files that were looked at before, with what was found: refused ones are named as such. */
export async function openPrepared(files: readonly PreparedFile[], at: string): Promise<HeadlessLog> {
  const db = await NativeDatabase.open();
  await db.run(EMPTY_LOG);
  const found = new Map(files.map((prepared) => [prepared.file, prepared]));
  const reports = await load(
    db,
    files.map(({ file }) => file),
    { inspect: (file) => inspectPrepared(found.get(file) ?? asItIs(file), inspect), at },
  );
  return { db, files: reports, calculation: await recalculate(db, new DirectCalculator()) };
}
