import type { Inspection, LogFile } from '../log/inspect';
import { doubledNames } from '../log/inspect';
import { recognise } from '../log/recognise';
import { withPlainLineEnds } from '../log/scan';
import { refusal, remark, row as rowSentence } from '../log/sentences';
import type { TableName } from '../log/table';
import { tables } from '../log/tables';
import { UnreadableFile, type Database, type OpenedFile } from './database';
import { resolve } from './resolve';
import { formatFaultsSql, renumberSql, stageSql } from './stage';
import { standing } from './tables';

/** What became of one file: it was read (accepted + set aside = read), or refused as a whole with the reason. */
export interface FileReport {
  readonly file: string;
  readonly table: TableName | null;
  readonly read: number;
  readonly accepted: number;
  readonly setAside: number;
  readonly refused: string | null;
  readonly note: string | null;
}

export interface LoadStep {
  readonly file: string | null;
  readonly done: number;
  readonly of: number;
}

export interface LoadOptions {
  /** Looks a file through; in a browser this happens in a worker. */
  readonly inspect: (file: LogFile) => Promise<Inspection>;
  /** When the load was asked for, as yyyy-mm-dd hh:mm:ss. */
  readonly at: string;
  readonly onStep?: (step: LoadStep) => void;
  /** Looked at between files; a load that is called off leaves the log as it was. */
  readonly signal?: AbortSignal;
}

type Readable = Extract<Inspection, { ok: true }>;
interface Candidate {
  readonly file: LogFile;
  readonly inspection: Readable;
}

const refused = (file: string, reason: string): FileReport => ({
  file,
  table: null,
  read: 0,
  accepted: 0,
  setAside: 0,
  refused: reason,
  note: null,
});

/**
 * Takes files into the log. Files that can't be read are refused, each with its sentence; all others are taken in together
 * in one transaction, so that a failure half-way leaves the log as it was.
 */
export async function load<Packed>(
  db: Database<Packed>,
  files: readonly LogFile[],
  options: LoadOptions,
): Promise<readonly FileReport[]> {
  const reports = new Map<LogFile, FileReport>();
  let candidates: Candidate[] = [];
  const seen = new Map<string, string>();
  for (const row of await db.rows('select hash, file from held_sources')) seen.set(String(row.hash), String(row.file));
  for (const [i, file] of files.entries()) {
    options.signal?.throwIfAborted();
    options.onStep?.({ file: file.name, done: i, of: files.length * 2 });
    const inspection = await options.inspect(file);
    if (!inspection.ok) {
      reports.set(file, refused(file.name, inspection.reason));
      continue;
    }
    const same = seen.get(inspection.hash);
    if (same !== undefined) {
      reports.set(file, { ...refused(file.name, ''), refused: null, note: refusal.alreadyLoaded(same) });
      continue;
    }
    seen.set(inspection.hash, file.name);
    candidates.push({ file, inspection });
  }
  // A file that breaks while it is being read undoes the transaction; the others are then taken in without it.
  while (candidates.length > 0) {
    const outcome = await takeIn(db, candidates, options, files.length);
    if (outcome.broken === null) {
      for (const [file, report] of outcome.reports) reports.set(file, report);
      break;
    }
    const { file, reason } = outcome.broken;
    reports.set(file, refused(file.name, reason));
    candidates = candidates.filter((candidate) => candidate.file !== file);
  }
  await db.run('delete from refused');
  for (const report of reports.values()) {
    if (report.refused !== null) await db.run('insert into refused values ($1, $2)', [report.file, report.refused]);
  }
  return files.flatMap((file) => reports.get(file) ?? []);
}

interface Outcome {
  readonly reports: ReadonlyMap<LogFile, FileReport>;
  readonly broken: { readonly file: LogFile; readonly reason: string } | null;
}

async function takeIn<Packed>(
  db: Database<Packed>,
  candidates: readonly Candidate[],
  options: LoadOptions,
  fileCount: number,
): Promise<Outcome> {
  const [last] = await db.rows('select coalesce(max(source_no), 0)::integer as n from held_sources');
  const notes = new Map<number, { file: LogFile; table: TableName; note: string | null }>();
  let sourceNo = Number(last?.n ?? 0);
  await db.run('begin transaction');
  try {
    for (const [i, candidate] of candidates.entries()) {
      options.signal?.throwIfAborted();
      options.onStep?.({ file: candidate.file.name, done: fileCount + i, of: fileCount * 2 });
      sourceNo += 1;
      const taken = await takeFile(db, candidate, sourceNo, options.at);
      if ('reason' in taken) {
        await db.run('rollback');
        return { reports: new Map(), broken: { file: candidate.file, reason: taken.reason } };
      }
      notes.set(sourceNo, { file: candidate.file, ...taken });
    }
    options.onStep?.({ file: null, done: fileCount * 2, of: fileCount * 2 });
    await resolve(db);
    await db.run('commit');
  } catch (error) {
    await db.run('rollback');
    throw error;
  }
  const counts = await db.rows('select source_no, rows_read, rows_accepted, rows_set_aside from sources');
  const reports = new Map<LogFile, FileReport>();
  for (const row of counts) {
    const note = notes.get(Number(row.source_no));
    if (note === undefined) continue;
    reports.set(note.file, {
      file: note.file.name,
      table: note.table,
      read: Number(row.rows_read),
      accepted: Number(row.rows_accepted),
      setAside: Number(row.rows_set_aside),
      refused: null,
      note: note.note,
    });
  }
  return { reports, broken: null };
}

type Taken = { readonly table: TableName; readonly note: string | null } | { readonly reason: string };

async function takeFile<Packed>(
  db: Database<Packed>,
  { file, inspection }: Candidate,
  sourceNo: number,
  at: string,
): Promise<Taken> {
  try {
    const taken =
      inspection.format === 'csv'
        ? await takeCsv(db, file, inspection, sourceNo)
        : await takeParquet(db, file, sourceNo);
    if ('reason' in taken) return taken;
    await db.run(
      `insert into held_sources values ($1::integer, $2, $3::double, $4, $5, $6, $7::integer, $8::varchar::timestamp, $9::varchar)`,
      [
        sourceNo,
        file.name,
        file.blob.size,
        inspection.hash,
        inspection.format,
        taken.table,
        taken.rows,
        at,
        taken.note,
      ],
    );
    return { table: taken.table, note: taken.note };
  } catch (error) {
    if (!(error instanceof UnreadableFile)) throw error;
    return {
      reason: inspection.format === 'csv' ? refusal.csvBroken(error.message) : refusal.parquetBroken(error.message),
    };
  }
}

type TakenRows =
  { readonly table: TableName; readonly note: string | null; readonly rows: number } | { readonly reason: string };

const CSV_FIRST_ROW = 2;
const PARQUET_FIRST_ROW = 1;

async function takeCsv<Packed>(
  db: Database<Packed>,
  file: LogFile,
  inspection: Extract<Readable, { format: 'csv' }>,
  sourceNo: number,
): Promise<TakenRows> {
  const table = tables[inspection.table];
  const plain = inspection.mixedLineEnds ? await withPlainLineEnds(file) : file;
  await db.run('drop table if exists reject_errors; drop table if exists reject_scans');
  const opened = await db.openCsv(plain, inspection.header.length);
  try {
    const named = { ...opened, columns: inspection.header.map((name) => ({ name, type: 'VARCHAR' })) };
    await stage(db, stageSql(table, sourceNo, named, CSV_FIRST_ROW));
    await db.run(
      `create or replace temp table gaps as select unnest([${inspection.blankRows.join(', ')}]::integer[]) as place
        union select distinct line::integer from reject_errors`,
    );
    const [gaps] = await db.rows('select count(*)::integer as n from gaps');
    if (Number(gaps?.n ?? 0) > 0) await db.run(renumberSql(table, sourceNo, CSV_FIRST_ROW));
    await db.run(
      `insert into faults select $1::integer, $2, line::integer, null, left(trim(any_value(csv_line), E'\\n\\r'), 200), 'format',
        case max(error_type)::varchar when 'TOO MANY COLUMNS' then $3 when 'UNQUOTED VALUE' then $4 else $5 end
        from reject_errors group by line`,
      [sourceNo, table.name, rowSentence.tooManyColumns, rowSentence.openQuote, rowSentence.unreadable],
    );
    await db.run('drop table gaps');
  } finally {
    await opened.close();
  }
  return { table: table.name, note: inspection.note, rows: await finish(db, table.name, sourceNo) };
}

async function takeParquet<Packed>(db: Database<Packed>, file: LogFile, sourceNo: number): Promise<TakenRows> {
  const opened: OpenedFile = await db.openParquet(file);
  try {
    const header = opened.columns.map((column) => column.name);
    const found = recognise(header);
    if (found.table === null) {
      return {
        reason: found.nearest === null ? refusal.noTable(header) : refusal.nearTable(found.nearest, found.lacking),
      };
    }
    const doubled = doubledNames(header);
    if (doubled.length > 0) return { reason: refusal.duplicateColumns(doubled) };
    await stage(db, stageSql(tables[found.table], sourceNo, opened, PARQUET_FIRST_ROW));
    const note = found.unknown.length === 0 ? null : remark.unknownColumns(found.unknown);
    return { table: found.table, note, rows: await finish(db, found.table, sourceNo) };
  } finally {
    await opened.close();
  }
}

/** Writes down the faults of the staged rows and answers how many rows the file had in all. */
async function finish(db: Database<unknown>, name: TableName, sourceNo: number): Promise<number> {
  const [faulty] = await db.rows(
    `select count(*)::integer as n from held_${name} where source_no = ${sourceNo} and standing = ${standing.format}`,
  );
  if (Number(faulty?.n ?? 0) > 0) await db.run(formatFaultsSql(tables[name], sourceNo));
  const [count] = await db.rows(
    `select (select count(*) from held_${name} where source_no = ${sourceNo})::integer
      + (select count(*) from faults where source_no = ${sourceNo} and column_name is null)::integer as n`,
  );
  return Number(count?.n ?? 0);
}

/** A staging statement names fixed columns only, so what it trips over is the file. */
async function stage(db: Database<unknown>, sql: string): Promise<void> {
  try {
    await db.run(sql);
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    if (/out of memory/i.test(message)) throw error;
    throw new UnreadableFile(message.split('\n')[0] ?? message);
  }
}
