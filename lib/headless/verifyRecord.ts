import { readFile, stat } from 'node:fs/promises';
import { parseArgs } from 'node:util';
import { buildRecord } from '../report/ask';
import { compareRecords, renamedFiles } from '../report/compareRecords';
import { compareSheets } from '../report/compareSheet';
import { recordHtml } from '../report/html';
import { readRecord, type ReadRecord } from '../report/read';
import type { AuditRecord } from '../report/record';
import { txt } from '../report/rows';
import { visible } from '../words/visible';
import { UsageError } from './arguments';
import { filesIn } from './folder';
import { openPrepared, told } from './log';
import { mappingSays, mappingsAt, prepare } from './mapped';

/** Holds a saved record against itself and against the log that it was made from. */

export const VERIFY_USAGE = `Usage: npm run verify -- RECORD.html FOLDER [--mapping FILE]...
  RECORD.html     a saved audit record
  FOLDER          folder with the log that it was made from (folders in it are looked through too)
  --mapping FILE  how sheets with headers of their own become tables of the log (docs/mapping.md); may be given several times
  --help          shows this

Exit status: 0 the same; 1 something differs; 2 the record or the log can't be read, or the call was wrong`;

const SAME = 0;
const DIFFERS = 1;
export const UNREADABLE = 2;
const MOST_TOLD = 20;

type Say = (line: string) => void;

export interface Voice {
  readonly say: Say;
  readonly complain: Say;
}

interface Asked {
  readonly file: string;
  readonly folder: string;
  readonly mappings: readonly string[];
}

async function asked(argv: readonly string[]): Promise<Asked | null> {
  const { values, positionals } = parse(argv);
  if (values.help === true) return null;
  const [file, folder] = positionals;
  if (file === undefined || folder === undefined || positionals.length > 2) {
    throw new UsageError('A record and a folder are needed, and nothing else.');
  }
  const found = await stat(folder).catch(() => null);
  if (found?.isDirectory() !== true) throw new UsageError(`There is no folder ${folder}.`);
  return { file, folder, mappings: values.mapping ?? [] };
}

function parse(argv: readonly string[]) {
  try {
    return parseArgs({
      args: [...argv],
      allowPositionals: true,
      options: { mapping: { type: 'string', multiple: true }, help: { type: 'boolean' } },
    });
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
}

/** The file by itself: does it print the hash of its data, and does it show what they give. True where it does. */
function holdsAgainstItself(
  say: Say,
  file: string,
  bytes: Buffer,
  { record, hash, printed, canonical }: ReadRecord,
): boolean {
  const hashAgrees = printed === hash && canonical;
  if (printed === hash) say(`Hash: the same. SHA-256 ${hash}`);
  else say(`Hash: differs. The sheet prints ${printed ?? 'none'}, its data give ${hash}.`);
  if (!canonical) say('Data: differ from their one text (RFC 8785): they were written anew or touched.');
  const rendered = recordHtml(record);
  const differences = compareSheets(file, rendered);
  const sameBytes = bytes.equals(Buffer.from(rendered, 'utf8'));
  if (differences === null && sameBytes) {
    say('Sheet: the same. It shows what its data give, byte for byte.');
    return hashAgrees;
  }
  say('Sheet: differs from what its data give.');
  for (const says of differences?.says ?? ['The file holds bytes that are no text.']) say(`  ${says}`);
  if (differences !== null && differences.more > 0) say(`  And ${differences.more} more lines.`);
  return false;
}

const side = (value: string | null, who: string, verb: string): string =>
  value === null ? `${who} has none` : `${who} ${verb} ${value}`;

/** The record against the one that the log gives now. True where both are the same. */
function holdsAgainstLog(say: Say, record: AuditRecord, log: AuditRecord | null): boolean {
  if (log === null) {
    say(`Log: differs. It has no job ${visible(txt(record.job, 'job_id') ?? '')}.`);
    return false;
  }
  for (const { record: was, log: is } of renamedFiles(record, log)) {
    say(`File renamed: ${visible(was)} in the record is ${visible(is)} in the folder, with the same content.`);
  }
  const differences = compareRecords(record, log);
  if (differences.length === 0) {
    say('Log: the same. Recalculated from the folder, every field of the record agrees.');
    return true;
  }
  say(`Log: differs in ${differences.length} ${differences.length === 1 ? 'field' : 'fields'}.`);
  for (const { path, record: one, log: other } of differences.slice(0, MOST_TOLD)) {
    say(`  ${path}: ${side(one, 'record', 'says')}, ${side(other, 'log', 'gives')}.`);
  }
  if (differences.length > MOST_TOLD) say(`  And ${differences.length - MOST_TOLD} more fields.`);
  if (record.engine_version !== log.engine_version) {
    say(
      '  Another engine version may give other figures from the same readings. To tell, check with the Shimbook that made the record.',
    );
  }
  return false;
}

/** The record of the same job out of the folder; undefined where nothing in it could be read. */
async function fromLog(
  { folder, mappings }: Asked,
  id: string,
  complain: Say,
): Promise<AuditRecord | null | undefined> {
  const named = await mappingsAt(mappings);
  const prepared = await prepare(await filesIn(folder), named);
  for (const idle of prepared.idle) complain(mappingSays(idle));
  // When files were loaded is no part of a record.
  const log = await openPrepared(prepared.files, '2000-01-01 00:00:00');
  for (const line of told(log.files)) complain(line);
  try {
    if (!log.files.some((file) => file.table !== null)) return undefined;
    return await buildRecord((sql, params) => log.db.rows(sql, params), id);
  } finally {
    await log.db.close();
  }
}

/** Answers with the exit status. Throws a UsageError where the call was wrong. */
export async function verify(argv: readonly string[], { say, complain }: Voice): Promise<number> {
  const call = await asked(argv);
  if (call === null) {
    say(VERIFY_USAGE);
    return SAME;
  }
  const bytes = await readFile(call.file).catch(() => null);
  if (bytes === null) throw new UsageError(`There is no readable file ${call.file}.`);
  const text = bytes.toString('utf8');
  const reading = readRecord(text);
  if (!reading.ok) {
    complain(`${call.file} can't be read as a record. ${reading.says}`);
    return UNREADABLE;
  }
  const { record } = reading.read;
  const id = txt(record.job, 'job_id') ?? '';
  say(`Record: job ${visible(id)}, engine version ${record.engine_version}.`);
  const itself = holdsAgainstItself(say, text, bytes, reading.read);
  const log = await fromLog(call, id, complain);
  if (log === undefined) {
    complain(`Nothing in ${call.folder} could be read as a log.`);
    return UNREADABLE;
  }
  const same = holdsAgainstLog(say, record, log) && itself;
  say(same ? 'Same.' : 'Differs.');
  return same ? SAME : DIFFERS;
}
