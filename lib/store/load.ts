import type { Inspection, LogFile } from '../log/inspect';
import { doubledNames, isGone } from '../log/inspect';
import { mendsBy } from '../log/mend';
import { recognise } from '../log/recognise';
import { withPlainLineEnds } from '../log/scan';
import { refusal, remark, row as rowSentence } from '../log/sentences';
import { tableNames, type LogTable, type TableName } from '../log/table';
import { tables } from '../log/tables';
import { MOST_REJECTED, UnreadableFile, type Database, type OpenedFile } from './database';
import { mendTally } from './mends';
import { findReplacements, leaveOut, markAccepted, type Replacements } from './replacements';
import { number, resolve } from './resolve';
import { formatFaultsSql, markMendsSql, renumberSql, stageSql } from './stage';
import { held } from './tables';

/** What became of one file: it was read (accepted + set aside = read), or refused as a whole with the reason. */
export interface FileReport {
  readonly file: string;
  readonly table: TableName | null;
  readonly read: number;
  readonly accepted: number;
  readonly setAside: number;
  readonly refused: string | null;
  readonly note: string | null;
  /** Whether its rows name the rows set aside that they take the place of. */
  readonly mends: boolean;
}

/** What is to become of new rows whose keys stand in the log with another content. */
export type ReplaceAnswer = 'take' | 'keep' | 'leave out';

export interface LoadStep {
  readonly file: string | null;
  readonly done: number;
  readonly of: number;
}

/** A load's number, ascending in time, and when it was asked for. */
export interface CameWith {
  readonly load: number;
  readonly at: string;
}

export interface LoadOptions {
  /** Looks a file through; in a browser this happens in a worker. */
  readonly inspect: (file: LogFile) => Promise<Inspection>;
  /** When the load was asked for, as yyyy-mm-dd hh:mm:ss. */
  readonly at: string;
  /** The load each file came with, where a log is opened again from its files; left out, all are of one new load. */
  readonly cameWith?: (file: LogFile) => CameWith;
  readonly onStep?: (step: LoadStep) => void;
  /** Looked at between files; a load that is called off leaves the log as it was. */
  readonly signal?: AbortSignal;
  /**
   * Asked once, when all files are read, if rows of theirs would take the place of rows that were in the log before: 'take' lets
   * them, 'keep' takes in nothing of this load, 'leave out' takes in all but them. Without it they are taken.
   */
  readonly confirm?: (replacements: Replacements) => Promise<ReplaceAnswer>;
}

type Readable = Extract<Inspection, { ok: true }>;

const untouched = {
  table: null,
  read: 0,
  accepted: 0,
  setAside: 0,
  refused: null,
  note: null,
  mends: false,
} as const;
const report = (file: LogFile, change: Partial<FileReport>): FileReport => ({
  ...untouched,
  file: file.name,
  ...change,
});

/**
 * Takes files into the log. Files that can't be read are refused, each with its sentence; all others are taken in together: their
 * rows are stored file by file, and nobody sees them until all are there and fitted together. What fails half-way, is called off
 * or is answered with 'keep' takes them out again, so that the log is as it was.
 */
export async function load<Packed>(
  db: Database<Packed>,
  files: readonly LogFile[],
  options: LoadOptions,
): Promise<readonly FileReport[]> {
  const inspections = new Inspections(options.inspect);
  try {
    const { reports, kept } = await takeIn(db, files, inspections, options);
    if (kept) return reports;
    await db.run('delete from refused');
    for (const { file, refused } of reports) {
      if (refused !== null) await db.run('insert into refused values ($1, $2)', [file, refused]);
    }
    return reports;
  } finally {
    await inspections.settled();
  }
}

/** How many files are looked through ahead of their turn, so that a large one does not have to be waited for. */
const LOOK_AHEAD = 4;

/** Looks each file through once, the next ones while one is being taken in. */
class Inspections {
  private readonly under = new Map<LogFile, Promise<Inspection>>();

  constructor(private readonly inspect: (file: LogFile) => Promise<Inspection>) {}

  of(file: LogFile): Promise<Inspection> {
    const begun = this.under.get(file) ?? this.inspect(file);
    this.under.set(file, begun);
    return begun;
  }

  /** Begins one ahead of its turn; what goes wrong with it is met when its turn comes. */
  begin(file: LogFile, then: (inspection: Inspection) => void): void {
    this.of(file).then(then, () => undefined);
  }

  /** After the end of those that were begun and are no longer waited for, whatever came of them. */
  async settled(): Promise<void> {
    await Promise.allSettled(this.under.values());
  }
}

interface Outcome {
  readonly reports: readonly FileReport[];
  /** Whether the log was kept as it was, by the answer to what would be replaced. */
  readonly kept: boolean;
}

async function takeIn<Packed>(
  db: Database<Packed>,
  files: readonly LogFile[],
  inspections: Inspections,
  options: LoadOptions,
): Promise<Outcome> {
  // By what was taken in, not by the file it came in: a workbook gives several texts, and a mended mapping another one.
  const hashes = new Map<string, string>();
  let lastSource = 0;
  let lastLoad = 0;
  for (const row of await db.rows('select source_no, taken_hash, file, load_no from held_sources')) {
    hashes.set(String(row.taken_hash), String(row.file));
    lastSource = Math.max(lastSource, Number(row.source_no));
    lastLoad = Math.max(lastLoad, Number(row.load_no));
  }
  const cameWith = options.cameWith ?? (() => ({ load: lastLoad + 1, at: options.at }));
  const reports: FileReport[] = [];
  const staged = new Map<number, Staged>();
  // The largest last: it is looked through in its worker while the database takes the others in. Of files as large, and in
  // what the sources are numbered by, the order given stays, since a newer row takes the place of an older one.
  const order = files.map((file, place) => ({ file, place })).toSorted((a, b) => a.file.blob.size - b.file.blob.size);
  try {
    // A load that failed for want of memory may have had none left to clear up with.
    await takeOut(db, `> ${lastSource}`);
    await markAccepted(db);
    for (const [i, { file, place }] of order.entries()) {
      options.signal?.throwIfAborted();
      options.onStep?.({ file: file.name, done: i, of: files.length });
      const inspection = await inspections.of(file);
      for (const { file: later } of order.slice(i + 1, i + 1 + LOOK_AHEAD)) {
        inspections.begin(later, (found) => {
          if (later === order[i + 1]?.file && found.ok && found.format === 'parquet') db.readAhead(later);
        });
      }
      const same = inspection.ok ? hashes.get(inspection.hash) : undefined;
      if (!inspection.ok) reports[place] = report(file, { refused: inspection.reason });
      else if (same !== undefined) reports[place] = report(file, { note: refusal.alreadyLoaded(same) });
      else {
        const sourceNo = lastSource + 1 + place;
        const taken = await takeFile(db, file, inspection, sourceNo);
        if ('reason' in taken) {
          // What of it was stored before it broke goes; the others are taken in without it.
          await takeOut(db, `= ${sourceNo}`);
          reports[place] = report(file, { refused: taken.reason });
        } else {
          hashes.set(inspection.hash, file.name);
          staged.set(sourceNo, { file, inspection, taken, place, came: cameWith(file) });
          reports[place] = report(file, {
            table: taken.table,
            note: taken.note,
            mends: mendsBy(taken.header) !== null,
          });
        }
        await db.settle();
      }
    }
    options.signal?.throwIfAborted();
    options.onStep?.({ file: null, done: files.length, of: files.length });
    if (staged.size > 0 && !(await enter(db, staged, lastSource, reports, options))) {
      await takeOut(db, `> ${lastSource}`);
      return { reports: reports.map((taken) => (taken.table === null ? taken : asKept(taken))), kept: true };
    }
  } catch (error) {
    await takeOut(db, `> ${lastSource}`);
    throw error;
  }
  for (const row of await db.rows('select source_no, rows_read, rows_accepted, rows_set_aside from sources')) {
    const place = staged.get(Number(row.source_no))?.place;
    const taken = place === undefined ? undefined : reports[place];
    if (place === undefined || taken === undefined) continue;
    reports[place] = {
      ...taken,
      read: Number(row.rows_read),
      accepted: Number(row.rows_accepted),
      setAside: Number(row.rows_set_aside),
    };
  }
  return { reports, kept: false };
}

/** A file whose rows are stored and not yet seen. */
interface Staged {
  readonly file: LogFile;
  readonly inspection: Readable;
  readonly taken: TakenFile;
  /** Its place among the files of the load. */
  readonly place: number;
  readonly came: CameWith;
}

/** Lets the stored rows into the log, all at once; false where a person kept the log as it was. */
async function enter(
  db: Database<unknown>,
  staged: ReadonlyMap<number, Staged>,
  lastSource: number,
  reports: FileReport[],
  options: LoadOptions,
): Promise<boolean> {
  await db.run('begin transaction');
  try {
    for (const [sourceNo, source] of staged) await enterSource(db, sourceNo, source);
    await db.run('update shown set last_source = (select max(source_no) from held_sources)');
    await resolve(db, [...staged.keys()]);
    const goesOn = await settled(db, lastSource, options);
    if (goesOn) {
      await number(
        db,
        [...staged.values()].map(({ taken }) => taken.table),
      );
      await tellMends(db, new Map([...staged].map(([no, { place }]) => [no, place])), reports);
    }
    await db.run(goesOn ? 'commit' : 'rollback');
    return goesOn;
  } catch (error) {
    await db.run('rollback');
    throw error;
  }
}

/** Takes out rows that were stored and not let in. */
async function takeOut(db: Database<unknown>, which: string): Promise<void> {
  for (const table of [...tableNames.map(held), 'faults', 'mend_marks']) {
    await db.run(`delete from ${table} where source_no ${which}`);
  }
  await db.settle();
}

const asKept = ({ file }: FileReport): FileReport => ({ ...untouched, file, note: remark.kept });

/** Whether the load is to go on: asks where rows of the log would be replaced. */
async function settled(db: Database<unknown>, lastSource: number, options: LoadOptions): Promise<boolean> {
  if (options.confirm === undefined) return true;
  const replacements = await findReplacements(db, lastSource);
  if (replacements === null) return true;
  const answer = await options.confirm(replacements);
  options.signal?.throwIfAborted();
  if (answer === 'leave out') await leaveOut(db, lastSource, replacements);
  return answer !== 'keep';
}

/** Says of each mended file what it mended. */
async function tellMends(
  db: Database<unknown>,
  places: ReadonlyMap<number, number>,
  reports: FileReport[],
): Promise<void> {
  for (const [sourceNo, { mended, idle }] of await mendTally(db)) {
    const place = places.get(sourceNo);
    const taken = place === undefined ? undefined : reports[place];
    if (place === undefined || taken === undefined) continue;
    const says = [
      ...(taken.note === null ? [] : [taken.note]),
      ...(mended > 0 ? [remark.mends(mended)] : []),
      ...(idle > 0 ? [remark.mendsNothing(idle)] : []),
    ];
    const note = says.join(' ');
    reports[place] = { ...taken, note };
    await db.run('update held_sources set note = $1 where source_no = $2::integer', [note, sourceNo]);
  }
  await db.run('delete from mend_marks');
}

interface TakenFile {
  readonly table: TableName;
  readonly header: readonly string[];
  readonly note: string | null;
}
type Taken = TakenFile | { readonly reason: string };

async function takeFile<Packed>(
  db: Database<Packed>,
  file: LogFile,
  inspection: Readable,
  sourceNo: number,
): Promise<Taken> {
  try {
    const taken =
      inspection.format === 'csv'
        ? await takeCsv(db, file, inspection, sourceNo)
        : await takeParquet(db, file, sourceNo);
    if ('reason' in taken) return taken;
    const { table, header } = taken;
    if (mendsBy(header) !== null) await db.run(markMendsSql(tables[table], sourceNo));
    await db.run(formatFaultsSql(tables[table], sourceNo));
    return taken;
  } catch (error) {
    // Readers tell of a file that is gone in their own words, or as if it were broken.
    if (isGone(error) || (await gone(file))) return { reason: refusal.changed };
    if (!(error instanceof UnreadableFile)) throw error;
    return {
      reason: inspection.format === 'csv' ? refusal.csvBroken(error.message) : refusal.parquetBroken(error.message),
    };
  }
}

/** Rows that could not be taken apart are not held; they are counted by their faults, which name no column. */
const enterSource = (db: Database<unknown>, sourceNo: number, source: Staged): Promise<void> => {
  const { file, inspection, taken, came } = source;
  return db.run(
    `insert into held_sources select $1::integer, $2, $3::double, $4, $5, $6,
      ((select count(*) from ${held(taken.table)} where source_no = $1::integer)
        + (select count(*) from faults where source_no = $1::integer and column_name is null))::integer,
      $7::varchar::timestamp, $8::varchar, $9, $10::integer`,
    [
      sourceNo,
      file.name,
      file.origin?.bytes ?? file.blob.size,
      file.origin?.hash ?? inspection.hash,
      file.origin?.sheet == null ? inspection.format : 'xlsx',
      taken.table,
      came.at,
      taken.note,
      inspection.hash,
      came.load,
    ],
  );
};

async function gone(file: LogFile): Promise<boolean> {
  try {
    await file.blob.slice(0, 1).arrayBuffer();
    return false;
  } catch {
    return true;
  }
}

const CSV_FIRST_ROW = 2;
const PARQUET_FIRST_ROW = 1;

async function takeCsv<Packed>(
  db: Database<Packed>,
  file: LogFile,
  inspection: Extract<Readable, { format: 'csv' }>,
  sourceNo: number,
): Promise<Taken> {
  const table = tables[inspection.table];
  const plain = inspection.mixedLineEnds ? await withPlainLineEnds(file) : file;
  await db.run('drop table if exists reject_errors; drop table if exists reject_scans');
  const opened = await db.openCsv(plain, inspection.header.length);
  try {
    const named = { ...opened, columns: inspection.header.map((name) => ({ name, type: 'VARCHAR' })) };
    await stage(db, stageSql(table, sourceNo, named, CSV_FIRST_ROW));
    const [rejected] = await db.rows('select count(*)::integer as n from reject_errors');
    if (Number(rejected?.n ?? 0) >= MOST_REJECTED) return { reason: refusal.tooManyRejected };
    if (Number(rejected?.n ?? 0) + inspection.blankRows.length > 0) {
      await tellGaps(db, table, sourceNo, inspection.blankRows);
    }
  } finally {
    await opened.close();
  }
  return { table: table.name, header: inspection.header, note: inspection.note };
}

/** How much of a row that can't be taken apart is kept, in characters. */
const LONGEST_LINE = 4_000;

/** Rows that could not be taken apart are set aside, and rows below them and below blank ones get their own numbers back. */
async function tellGaps(
  db: Database<unknown>,
  table: LogTable,
  sourceNo: number,
  blankRows: readonly number[],
): Promise<void> {
  // As one text: a statement with a million numbers written out would take the database minutes to read.
  await db.run('create or replace temp table gaps (place integer)');
  if (blankRows.length > 0) {
    await db.run(`insert into gaps select unnest(string_split($1, ',')::integer[])`, [blankRows.join(',')]);
  }
  await db.run('insert into gaps select distinct line::integer from reject_errors anti join gaps on line = place');
  await db.run(renumberSql(table, sourceNo, CSV_FIRST_ROW));
  await db.run(
    `insert into faults select $1::integer, $2, line::integer, null, left(trim(any_value(csv_line), E'\\n\\r'), ${LONGEST_LINE}), 'format',
      case max(error_type)::varchar when 'TOO MANY COLUMNS' then $3 when 'UNQUOTED VALUE' then $4 else $5 end
      from reject_errors group by line`,
    [sourceNo, table.name, rowSentence.tooManyColumns, rowSentence.openQuote, rowSentence.unreadable],
  );
  await db.run('drop table gaps');
}

async function takeParquet<Packed>(db: Database<Packed>, file: LogFile, sourceNo: number): Promise<Taken> {
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
    let firstRow = PARQUET_FIRST_ROW;
    do {
      await stage(db, stageSql(tables[found.table], sourceNo, opened, firstRow));
      firstRow += await opened.pieceRows();
    } while (await opened.nextPiece());
    const note = found.unknown.length === 0 ? null : remark.unknownColumns(found.unknown);
    return { table: found.table, header, note };
  } finally {
    await opened.close();
  }
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
