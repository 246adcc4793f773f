import { inspect, type LogFile } from '../log/inspect';
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
export async function openLog(files: readonly LogFile[], at: string): Promise<HeadlessLog> {
  const db = await NativeDatabase.open();
  await db.run(EMPTY_LOG);
  const reports = await load(db, files, { inspect, at });
  return { db, files: reports, calculation: await recalculate(db, new DirectCalculator()) };
}
