import type { LogFile } from '../../lib/log/inspect';
import type { FileReport, ReplaceAnswer } from '../../lib/store/load';
import type { SqlValue } from '../../lib/store/question';
import type { Replacements } from '../../lib/store/replacements';
import { demoLog } from './demoFiles';
import { asItIs, inspectPrepared, type PreparedFile } from '../../lib/log/prepared';
import type { Started } from './start';

export type LogState =
  | { readonly phase: 'empty' }
  | { readonly phase: 'starting' }
  | { readonly phase: 'loading'; readonly file: string | null; readonly share: number | null; readonly step: string }
  | {
      /** A load waits to hear whether it may replace rows of the log. */
      readonly phase: 'asking';
      readonly replacements: Replacements;
      readonly answer: (answer: ReplaceAnswer) => void;
    }
  | { readonly phase: 'calculating'; readonly done: number; readonly total: number }
  | { readonly phase: 'open' }
  | { readonly phase: 'failed'; readonly message: string };

export interface LoadReport {
  readonly files: readonly FileReport[];
  readonly recalculated: number;
  readonly unchanged: number;
  /** Whether the calculation was called off before all jobs were done. */
  readonly cancelled: boolean;
  /** Files that were refused and look like sheets of a shop's own, which a mapping could read. */
  readonly foreign: readonly PreparedFile[];
}

export interface LogSnapshot {
  readonly state: LogState;
  /** Rises whenever what the log holds, or what was worked out from it, has changed. */
  readonly version: number;
  readonly report: LoadReport | null;
}

const twoDigits = (n: number): string => String(n).padStart(2, '0');
const localTime = (now: Date): string =>
  `${now.getFullYear()}-${twoDigits(now.getMonth() + 1)}-${twoDigits(now.getDate())} ` +
  [now.getHours(), now.getMinutes(), now.getSeconds()].map(twoDigits).join(':');

const called = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** Of the refused files those that a mapping could read. */
async function foreignAmong(
  files: readonly PreparedFile[],
  reports: readonly FileReport[],
): Promise<readonly PreparedFile[]> {
  const refused = files.flatMap((file, i) => (reports[i]?.refused !== null ? [{ ...file, refused: null }] : []));
  if (refused.length === 0) return [];
  const { isForeignSheet } = await import('./mappings');
  const foreign = await Promise.all(refused.map(({ file }) => isForeignSheet(file.blob)));
  return refused.filter((_, i) => foreign[i] === true);
}

/** The one open log of this tab: it outlives pages, is filled by loads, one after the other, and tells who listens. */
class LogSession {
  private snapshot: LogSnapshot = { state: { phase: 'empty' }, version: 0, report: null };
  private readonly listeners = new Set<() => void>();
  private opening: Promise<Started> | null = null;
  private readonly hurry = new AbortController();
  private turn: Promise<void> = Promise.resolve();
  private stop = new AbortController();
  private readonly answering = new Set<Promise<unknown>>();

  subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  read = (): LogSnapshot => this.snapshot;

  private tell(change: Partial<LogSnapshot>): void {
    // Marks on the browser's own time line: `npm run bench` and a developer's profiler read them.
    if (change.state !== undefined && change.state.phase !== this.snapshot.state.phase) {
      performance.mark(`log:${change.state.phase}`);
    }
    this.snapshot = { ...this.snapshot, ...change };
    for (const listener of this.listeners) listener();
  }

  /** The database, started when first needed. */
  private open(): Promise<Started> {
    this.opening ??= import('./start').then(({ start }) => start(this.hurry.signal));
    return this.opening;
  }

  /** Starts the database ahead of its first use, so that the first log opens at once. */
  warm = (): void => {
    // A start that fails is told when a log is opened, where a person can do something about it.
    void this.open().then(
      () => performance.mark('log:ready'),
      () => {
        this.opening = null;
      },
    );
  };

  /** Rows that answer a page's statement. */
  async ask(sql: string, params: readonly SqlValue[]): Promise<readonly unknown[]> {
    const answering = this.open().then(({ asking }) => asking.rows(sql, params));
    this.answering.add(answering);
    try {
      return await answering;
    } finally {
      this.answering.delete(answering);
    }
  }

  /** Lets the pages ask what they already can: each statement of a calculation would go before theirs. */
  private async pagesServed(): Promise<void> {
    await new Promise((resolve) => setTimeout(resolve, 0));
    await Promise.allSettled(this.answering);
  }

  load = (files: readonly File[]): void => {
    this.loadAgain(files.map((blob) => asItIs({ name: blob.name, blob, path: null })));
  };

  /** Takes in files that were looked at before, by the mappings that are kept now. */
  loadAgain = (files: readonly PreparedFile[]): void => {
    this.queue((signal) => this.prepare(files, signal));
  };

  /** Workbooks are taken apart and sheets of a shop's own converted in the worker, so that the page stays free. */
  private async prepare(files: readonly PreparedFile[], signal: AbortSignal): Promise<readonly PreparedFile[]> {
    const [{ bench }, { keptMappings }] = await Promise.all([this.open(), import('./mappings')]);
    const prepared: PreparedFile[] = [];
    for (const [i, file] of files.entries()) {
      signal.throwIfAborted();
      const step = 'Looking through';
      this.tell({ state: { phase: 'loading', file: file.file.name, share: i / files.length, step } });
      prepared.push(...(await bench.prepare(file, keptMappings.read())));
    }
    return prepared;
  }

  openDemo = (): void => {
    this.queue(async () => (await demoLog()).map(asItIs));
  };

  /** Goes on with a calculation that was called off. */
  recalculate = (): void => {
    this.queue(() => Promise.resolve([]));
  };

  cancel = (): void => {
    this.stop.abort();
  };

  private queue(get: (signal: AbortSignal) => Promise<readonly PreparedFile[]>): void {
    this.turn = this.turn.then(() => this.takeIn(get));
  }

  private confirm(replacements: Replacements, signal: AbortSignal): Promise<ReplaceAnswer> {
    return new Promise((resolve) => {
      const answer = (given: ReplaceAnswer): void => {
        if (this.snapshot.state.phase !== 'asking') return;
        this.tell({ state: { phase: 'loading', file: null, share: null, step: 'Taking the files in' } });
        resolve(given);
      };
      signal.addEventListener('abort', () => {
        resolve('keep');
      });
      this.tell({ state: { phase: 'asking', replacements, answer } });
    });
  }

  private async takeIn(get: (signal: AbortSignal) => Promise<readonly PreparedFile[]>): Promise<void> {
    const before = (): LogState => (this.snapshot.version > 0 ? { phase: 'open' } : { phase: 'empty' });
    this.hurry.abort();
    this.stop = new AbortController();
    const { signal } = this.stop;
    this.tell({ state: { phase: 'starting' } });
    try {
      const [{ database, bench, crew }, files] = await Promise.all([this.open(), get(signal)]);
      const { load } = await import('../../lib/store/load');
      const { recalculate } = await import('../../lib/store/recalculate');
      const prepared = new Map(files.map((each): [LogFile, PreparedFile] => [each.file, each]));
      const reports = await load(database, [...prepared.keys()], {
        inspect: (file) => inspectPrepared(prepared.get(file) ?? asItIs(file), bench.inspect),
        at: localTime(new Date()),
        signal,
        confirm: (replacements) => this.confirm(replacements, signal),
        onStep: ({ file, done, of }) => {
          const step = file === null ? 'Checking how the tables fit together' : 'Reading';
          this.tell({ state: { phase: 'loading', file, share: of === 0 ? null : done / of, step } });
        },
      });
      const foreign = files.length === 0 ? (this.snapshot.report?.foreign ?? []) : await foreignAmong(files, reports);
      if (files.length > 0 && reports.every((report) => report.table === null)) {
        this.tell({
          state: before(),
          report: { files: reports, recalculated: 0, unchanged: 0, cancelled: false, foreign },
        });
        return;
      }
      // The log itself can be asked from here on; what rests on the calculation waits for it.
      const taken = files.length === 0 ? (this.snapshot.report?.files ?? []) : reports;
      this.tell({
        state: { phase: 'calculating', done: 0, total: 0 },
        version: this.snapshot.version + 1,
        report: { files: taken, recalculated: 0, unchanged: 0, cancelled: false, foreign },
      });
      await this.pagesServed();
      const outcome = await recalculate(database, crew, {
        signal,
        onProgress: (done, total) => {
          this.tell({ state: { phase: 'calculating', done, total } });
        },
      });
      this.tell({
        state: { phase: 'open' },
        version: this.snapshot.version + 1,
        report: { files: taken, ...outcome, foreign },
      });
    } catch (error) {
      if (signal.aborted) this.tell({ state: before() });
      else this.tell({ state: { phase: 'failed', message: called(error) } });
    }
  }
}

export const session = new LogSession();
