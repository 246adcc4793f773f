import { strToU8, zipSync } from 'fflate';
import type { Dice } from '../../data-demo/random';
import { checkArchive } from '../../lib/keep/archive';
import { KeptLog } from '../../lib/keep/kept';
import { readZip, writeZip } from '../../lib/keep/zip';
import { fileHash, inspect, type LogFile } from '../../lib/log/inspect';
import { convertFile, prepareFile } from '../../lib/log/mapping/prepare';
import { readMapping } from '../../lib/log/mapping/mapping';
import { asItIs, inspectPrepared, type PreparedFile } from '../../lib/log/prepared';
import { scanText } from '../../lib/log/scan';
import { sheetsOf } from '../../lib/log/workbook/sheets';
import { UnreadableFile } from '../../lib/store/database';
import { ParquetReading } from '../../lib/store/browser/parquet';
import { load, type FileReport } from '../../lib/store/load';
import { NativeDatabase } from '../../lib/store/native/database';
import { emptyLog } from '../../lib/store/undo';
import { EMPTY_LOG } from '../../lib/store/tables';
import { MemoryFolder } from '../keep/memoryFolder';
import { brokenSums } from '../store/mending';
import { smallLog } from '../store/smallLog';
import { mutate, type Bytes } from './mutate';
import * as seeds from './seeds';

/**
 * The readers of files, each with what it must hold to whatever it is given: a refusal in words, or a report whose sums hold. Each
 * answers what is wrong, null where nothing is; anything thrown is a fault by itself.
 */
export interface Reader {
  /** Of a hundred cases, how many are this reader's. */
  readonly share: number;
  readonly make: (dice: Dice) => Promise<Bytes>;
  readonly read: (bytes: Bytes) => Promise<string | null>;
}

const oneOf = (dice: Dice, from: readonly Bytes[]): Bytes => from[dice.whole(0, from.length - 1)] ?? new Uint8Array();
const logFile = (name: string, bytes: Bytes): LogFile => ({ name, blob: new Blob([bytes]), path: null });

const LONGEST_SENTENCE = 4000;
/** A refusal is a sentence that a person can read. */
const told = (reason: string): string | null =>
  reason.length > 20 && reason.length < LONGEST_SENTENCE ? null : `no sentence: ${reason.slice(0, 200)}`;

/** One log for many cases; emptied now and then, and looked at whether it can still be used. */
class Log {
  private db: NativeDatabase | null = null;
  private cases = 0;

  private async opened(): Promise<NativeDatabase> {
    if (this.db === null) {
      this.db = await NativeDatabase.open(1);
      await this.db.run(EMPTY_LOG);
    }
    return this.db;
  }

  async take(files: readonly PreparedFile[]): Promise<readonly FileReport[] | string> {
    const db = await this.opened();
    const found = new Map(files.map((each) => [each.file, each]));
    const reports = await load(db, [...found.keys()], {
      inspect: (file) => inspectPrepared(found.get(file) ?? asItIs(file), inspect),
      at: '2026-01-02 08:00:00',
    });
    for (const report of reports) {
      if (report.read !== report.accepted + report.setAside) return `sums do not hold: ${JSON.stringify(report)}`;
      const wrong = report.refused === null ? null : told(report.refused);
      if (wrong !== null) return wrong;
    }
    this.cases += 1;
    const usable = this.cases % 20 === 0 ? await this.usable(db) : null;
    return usable ?? reports;
  }

  /** The sums of all that was taken in hold, and the small log is taken in as if nothing had been before it. */
  private async usable(db: NativeDatabase): Promise<string | null> {
    const broken = await brokenSums(db);
    if (broken.length > 0) return `sums of the log do not hold: ${broken.join('; ')}`;
    await emptyLog(db);
    const files = Object.entries(smallLog).map(([name, text]) => logFile(name, seeds.bytesOf(text)));
    const reports = await load(db, files, { inspect, at: '2026-01-02 08:00:00' });
    const accepted = reports.reduce((sum, report) => sum + report.accepted, 0);
    return accepted === 23 ? null : `the log is no longer usable: ${accepted} rows of the small log were accepted`;
  }
}

const log = new Log();

const csv: Reader = {
  share: 25,
  make: (dice) => Promise.resolve(mutate(oneOf(dice, seeds.csvs), dice, oneOf(dice, seeds.csvs))),
  read: async (bytes) => {
    const file = logFile('case.csv', bytes);
    const reports = await log.take([asItIs(file)]);
    if (typeof reports === 'string') return reports;
    const [report] = reports;
    if (report === undefined || report.table === null) return null;
    const scan = await scanText(file.blob);
    const rows = scan.rows - 1 - scan.blankRows.filter((row) => row <= scan.rows).length;
    return report.read === rows || scan.blankRows.includes(1)
      ? null
      : `${rows} rows lie in it, ${report.read} were read`;
  },
};

const parquet: Reader = {
  share: 8,
  make: (dice) => Promise.resolve(mutate(oneOf(dice, seeds.parquets), dice, oneOf(dice, seeds.parquets))),
  read: async (bytes) => {
    const reports = await log.take([asItIs(logFile('case.parquet', bytes))]);
    return typeof reports === 'string' ? reports : null;
  },
};

/** The codec that a browser reads Parquet with. */
const parquetCodec: Reader = {
  share: 20,
  make: parquet.make,
  read: async (bytes) => {
    try {
      const reading = await ParquetReading.open(new Blob([bytes]));
      try {
        while ((await reading.next()) !== null);
      } finally {
        await reading.close();
      }
      return null;
    } catch (error) {
      if (error instanceof UnreadableFile) return null;
      throw error;
    }
  },
};

async function book(bytes: Bytes): Promise<string | null> {
  const sheets = await sheetsOf(logFile('case.xlsx', bytes));
  const [first] = sheets ?? [];
  if (sheets === null || first === undefined) return null;
  if (first.refused !== null) return told(first.refused);
  const reports = await log.take(sheets);
  return typeof reports === 'string' ? reports : null;
}

const workbook: Reader = {
  share: 12,
  make: (dice) => Promise.resolve(mutate(oneOf(dice, seeds.books), dice, oneOf(dice, seeds.books))),
  read: book,
};

/** What is in the workbook changed, and packed again as it should be. */
const workbookParts: Reader = {
  share: 12,
  make: (dice) => {
    const at = dice.whole(0, seeds.bookParts.length - 1);
    const parts = seeds.bookParts.map(([name, text], i) => {
      const bytes = strToU8(text);
      return [name, i === at ? mutate(new Uint8Array(bytes), dice, new Uint8Array(bytes)) : bytes] as const;
    });
    return Promise.resolve(new Uint8Array(zipSync(Object.fromEntries(parts))));
  },
  read: book,
};

const mappingJson: Reader = {
  share: 8,
  make: (dice) => Promise.resolve(mutate(seeds.mappingText, dice, seeds.mappingText)),
  read: async (bytes) => {
    const made = readMapping(new TextDecoder().decode(bytes));
    if (!made.ok) return told(made.reason);
    return converted(await convertFile(logFile('sheet.csv', seeds.foreignSheet), made.mapping));
  },
};

async function converted(files: readonly PreparedFile[]): Promise<string | null> {
  const reports = await log.take(files);
  return typeof reports === 'string' ? reports : null;
}

/** A shop's own sheet, changed, by the mapping that reads it. */
const mappedSheet: Reader = {
  share: 5,
  make: (dice) => Promise.resolve(mutate(seeds.foreignSheet, dice, seeds.foreignSheet)),
  read: async (bytes) => {
    const made = readMapping(JSON.stringify(seeds.mapping));
    if (!made.ok) return made.reason;
    return converted((await prepareFile(asItIs(logFile('sheet.csv', bytes)), [made.mapping], (each) => each)).files);
  },
};

const seed = seeds.archiveSeed();

async function restored(bytes: Bytes): Promise<string | null> {
  const found = await checkArchive(new Blob([bytes]));
  if (!found.ok) return told(found.reason);
  for (const file of found.archive.files) {
    if ((await fileHash(file.blob)) !== file.hash) return `${file.name} has other bytes than its hash says`;
  }
  const folder = new MemoryFolder();
  const kept = await KeptLog.open(folder);
  await kept.replace(found.archive.loads, found.archive.files);
  const again = await KeptLog.open(folder.reopened());
  return JSON.stringify(again.loads) === JSON.stringify(found.archive.loads) ? null : 'what was restored is not kept';
}

const archive: Reader = {
  share: 5,
  make: async (dice) => {
    const { archive: whole } = await seed;
    return mutate(whole, dice, whole);
  },
  read: restored,
};

/** The archive's list changed, and packed again as it should be. */
const archiveList: Reader = {
  share: 5,
  make: async (dice) => {
    const { archive: whole, manifest } = await seed;
    const entries = await readZip(new Blob([whole]));
    const list = mutate(seeds.bytesOf(manifest), dice, seeds.bytesOf(manifest));
    const files = await Promise.all(
      entries.slice(1).map(async (entry) => ({ name: entry.name, blob: await entry.open() })),
    );
    const made = await writeZip([{ name: 'manifest.json', blob: new Blob([list]) }, ...files]);
    return new Uint8Array(await made.arrayBuffer());
  },
  read: restored,
};

export const readers = {
  csv,
  parquet,
  parquetCodec,
  workbook,
  workbookParts,
  mappingJson,
  mappedSheet,
  archive,
  archiveList,
} as const satisfies Record<string, Reader>;
export type ReaderName = keyof typeof readers;
export const readerNames = Object.keys(readers) as ReaderName[];
