import { sentences } from '../../lib/keep/sentences';
import type { LogFile } from '../../lib/log/inspect';
import type { Mapping } from '../../lib/log/mapping/mapping';
import type { Tried } from '../../lib/log/mapping/tryOut';
import { inspectPrepared, type PreparedFile } from '../../lib/log/prepared';
import { refusal } from '../../lib/log/sentences';
import type { SqlValue } from '../../lib/store/question';
import { Answering } from './answering';
import { Apart, type MixAnswer, type Mixing } from './apart';
import { Asking } from './asking';
import { demoLog } from './demoFiles';
import {
  arrived,
  called,
  cameCounts,
  foreignAmong,
  keptOf,
  localTime,
  prepared,
  isOutOfMemory,
  type Arrived,
  type Incoming,
} from './incoming';
import { keeper } from './keeper';
import type { Started } from './start';
import { AT_FIRST, type LoadReport, type LogSnapshot, type LogState } from './states';

/** The one open log of this tab: it outlives pages, is filled by loads, one after the other, and tells who listens. */
class LogSession {
  private snapshot: LogSnapshot = AT_FIRST;
  private readonly listeners = new Set<() => void>();
  private opening: Promise<Started> | null = null;
  private begun = false;
  /** Whether the log has any file in it. */
  private holds = false;
  /** Whether jobs may be due whatever the next load brings: a calculation was called off, or failed. */
  private unfinished = false;
  private readonly hurry = new AbortController();
  private turn: Promise<void> = Promise.resolve();
  private stop = new AbortController();
  private readonly answering = new Answering();
  private readonly apart = new Apart();
  private readonly asking = new Asking({
    read: () => this.snapshot,
    tell: (change) => {
      this.tell(change);
    },
  });

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

  /** Opens what is kept, and starts the database ahead of its first use, so that the first log opens at once. */
  warm = (): void => {
    if (this.begun) return;
    this.begun = true;
    this.queue(async () => {
      await keeper.begin();
      await this.openKept();
    });
    // A start that fails is told when a log is opened, where a person can do something about it.
    void this.open().then(
      () => performance.mark('log:ready'),
      () => {
        this.opening = null;
        this.begun = false;
      },
    );
  };

  /** Rows that answer a page's statement. */
  async ask(sql: string, params: readonly SqlValue[]): Promise<readonly unknown[]> {
    const { state, version } = this.snapshot;
    return this.answering.of(version, state.phase === 'open', this.asked(sql, params), () =>
      this.open().then(({ asking }) => asking.rows(sql, params)),
    );
  }

  /** The same where the log stands and has answered it lately, without asking again. */
  answered(sql: string, params: readonly SqlValue[]): readonly unknown[] | undefined {
    const { state, version } = this.snapshot;
    return state.phase === 'open' ? this.answering.known(version, this.asked(sql, params)) : undefined;
  }

  private readonly asked = (sql: string, params: readonly SqlValue[]): string =>
    JSON.stringify([this.snapshot.beside, sql, params]);

  /** The database and the engine's worker, for what a page has worked out of the whole log. */
  workers = async (): Promise<Pick<Started, 'asking' | 'bench'>> => this.open();

  /** What a mapping makes of a sheet, of which nothing is taken in. */
  tryOut = async (blob: Blob, mapping: Mapping): Promise<Tried> => (await this.open()).bench.tryOut(blob, mapping);

  load = (files: readonly File[]): void => {
    this.loadAgain(files.map((file) => arrived(file.name, file)));
  };

  /** Takes in files that were looked at before, by the mappings that are kept now. */
  loadAgain = (files: readonly Arrived[]): void => {
    this.add((signal) => this.prepare(files, signal), false);
  };

  /** Adds rows that no result rests on, while the pages stay as they are. Answers why it could not be done, null where it was. */
  write = (name: string, text: string): Promise<string | null> =>
    new Promise((resolve) => {
      this.queue(async () => {
        resolve(await this.takeBeside({ name, blob: new Blob([text]), path: null }).catch(called));
      });
    });

  private async takeBeside(file: LogFile): Promise<string | null> {
    if (this.snapshot.state.phase !== 'open') return sentences.notOpened;
    if (!keeper.mayLoad()) return keeper.read().pen ? sentences.behind : sentences.otherTab;
    const { database, bench } = await this.open();
    const why = await (await import('./beside')).takeBeside(database, bench, file);
    if (why === null) this.tell({ beside: this.snapshot.beside + 1 });
    return why;
  }

  private async prepare(files: readonly Arrived[], signal: AbortSignal): Promise<readonly Arrived[]> {
    const [{ bench }, { keptMappings }] = await Promise.all([this.open(), import('./mappings')]);
    const ready: Arrived[] = [];
    for (const [i, file] of files.entries()) {
      signal.throwIfAborted();
      const step = 'Looking through';
      this.tell({ state: { phase: 'loading', file: file.file.name, share: i / files.length, step } });
      ready.push(...(await prepared(file, bench, keptMappings.read())));
    }
    return ready;
  }

  openDemo = (): void => {
    this.add(async () => (await demoLog()).map(({ name, blob }) => arrived(name, blob)), true);
  };

  /** Goes on with a calculation that was called off. */
  recalculate = (): void => {
    this.queue(() => this.guarded((signal) => this.calculate(signal, this.snapshot.report)));
  };

  cancel = (): void => {
    this.stop.abort();
  };

  /** Opens what is kept anew: after another tab changed it, or after it was called off. */
  openAgain = (): void => {
    this.queue(async () => {
      await keeper.refresh();
      await this.empty();
      await this.openKept();
    });
  };

  /** Takes the last load out of the log, and lets its files go. */
  undo = (): void => {
    this.queue(() =>
      this.guarded(async (signal) => {
        if (!keeper.mayLoad()) return;
        const { database } = await this.open();
        const { undoLastLoad } = await import('../../lib/store/undo');
        this.tell({ state: { phase: 'loading', file: null, share: null, step: 'Taking the last load out' } });
        const no = await undoLastLoad(database);
        if (no !== null) {
          this.apart.without(no);
          await keeper.drop(no);
        }
        await this.recount();
        await this.calculate(signal, null);
      }),
    );
  };

  /** Deletes what is kept, and closes the log in this tab. */
  deleteAll = (): void => {
    this.queue(() =>
      this.guarded(async () => {
        if (!keeper.mayLoad()) return;
        await keeper.clear();
        await this.empty();
      }),
    );
  };

  /** Closes the demo log; files of the shop's own that are kept open again without it. */
  closeDemo = (): void => {
    this.queue(async () => {
      if (keeper.mayLoad()) await this.withoutDemo();
    });
  };

  /** Whether a load may go on, as the person answers where it would bring the demo log and files of the shop's own together. */
  private mayJoin(demo: boolean): Promise<boolean> {
    const ask = (mixing: Mixing): Promise<MixAnswer> => this.asking.mixing(mixing, this.before());
    return this.apart.mayJoin(demo, ask, () => this.withoutDemo());
  }

  private async withoutDemo(): Promise<void> {
    await this.guarded(async () => {
      if (!(await keeper.dropDemo())) return;
      await this.empty();
      await this.openKept();
    });
  }

  private queue(work: () => Promise<void>): void {
    this.turn = this.turn.then(work);
  }

  private before(): LogState {
    return this.holds ? { phase: 'open' } : { phase: 'empty' };
  }

  /** Does a piece of work that can be called off, and tells how it failed. */
  private async guarded(work: (signal: AbortSignal) => Promise<void>): Promise<void> {
    this.hurry.abort();
    this.stop = new AbortController();
    const { signal } = this.stop;
    try {
      await work(signal);
    } catch (error) {
      // Part of the work may have been done, so what was answered before may not hold any more.
      const version = this.snapshot.version + 1;
      if (signal.aborted) this.tell({ state: this.before(), version });
      else if (isOutOfMemory(error)) {
        keeper.notify(refusal.tooLarge);
        this.tell({ state: this.before(), version });
      } else this.tell({ state: { phase: 'failed', message: called(error) }, version });
    }
  }

  /** Adds a load to the log. A kept log that was not opened is opened first, so that nothing is added to half of it. */
  private add(get: (signal: AbortSignal) => Promise<readonly Arrived[]>, demo: boolean): void {
    this.queue(async () => {
      await keeper.begin();
      if (!keeper.mayLoad()) return;
      if (this.snapshot.unopened) await this.openKept();
      if (!this.snapshot.unopened && !(await this.mayJoin(demo))) return;
      if (this.snapshot.unopened) {
        keeper.notify(sentences.notOpened);
        return;
      }
      await this.guarded(async (signal) => {
        this.tell({ state: { phase: 'starting' } });
        const [{ database }, files] = await Promise.all([this.open(), get(signal)]);
        const no = await (await import('./beside')).nextLoadNo(database);
        const at = localTime(new Date());
        let left_out = false;
        await this.takeIn(signal, {
          files,
          step: 'Reading',
          cameWith: () => ({ load: no, at }),
          inspect: inspectPrepared,
          confirm: async (replacements) => {
            const answer = await this.asking.rows(replacements, signal);
            left_out = answer === 'leave out';
            return answer;
          },
          fresh: {
            keep: async (reports, hashes) => {
              const kept = demo ? [] : keptOf(files, reports, hashes);
              const changed = await keeper.add({
                no,
                at,
                demo,
                left_out,
                alone: left_out || reports.some(({ mends }) => mends),
                files: kept,
              });
              if (changed.length === 0) this.apart.took(no, demo);
              return files.filter(({ came }) => changed.includes(came.blob)).map(({ file }) => file);
            },
            foreign: (reports) => foreignAmong(files, reports),
            counts: (reports) => cameCounts(files, reports),
          },
        });
      });
    });
  }

  /** Opens the kept loads in one go; one whose rows went by the log as it then was by itself. */
  private async openKept(): Promise<void> {
    const { loads } = keeper.read();
    if (loads.length === 0) {
      this.tell({ unopened: false });
      return;
    }
    this.tell({ unopened: true });
    for (const { no, demo } of loads) this.apart.took(no, demo);
    await this.guarded(async (signal) => {
      const step = 'Opening the kept log';
      this.tell({ state: { phase: 'loading', file: null, share: null, step } });
      const { goes, inspectKept, keptFiles } = await import('./reopen');
      const { bench } = await this.open();
      const all = goes(loads);
      for (const [i, together] of all.entries()) {
        const files = (await Promise.all(together.map((load) => keptFiles(load, bench)))).flat();
        await this.takeIn(
          signal,
          {
            files,
            step,
            cameWith: ({ came }) => came,
            inspect: inspectKept,
            confirm: () => Promise.resolve(together.some(({ left_out }) => left_out) ? 'leave out' : 'take'),
            fresh: null,
          },
          i + 1 === all.length,
        );
      }
    });
  }

  private async empty(): Promise<void> {
    const { database } = await this.open();
    await (await import('../../lib/store/undo')).emptyLog(database);
    this.holds = false;
    this.apart.clear();
    this.tell({ state: { phase: 'empty' }, version: this.snapshot.version + 1, report: null, unopened: false });
  }

  private async recount(): Promise<void> {
    const { database } = await this.open();
    const { lastLoad } = await import('../../lib/store/undo');
    this.holds = (await database.rows(lastLoad.sql)).length > 0;
  }

  /** @param last whether the log is to be worked out then; more is taken in first otherwise */
  private async takeIn<File extends PreparedFile>(
    signal: AbortSignal,
    incoming: Incoming<File>,
    last = true,
  ): Promise<void> {
    const { files, step, cameWith, inspect, confirm, fresh } = incoming;
    const { database, bench } = await this.open();
    const { load } = await import('../../lib/store/load');
    const given = new Map(files.map((each): [LogFile, File] => [each.file, each]));
    const of = <T>(file: LogFile, then: (each: File) => T): T => {
      const each = given.get(file);
      if (each === undefined) throw new Error(`${file.name} is not among the files of this load`);
      return then(each);
    };
    const hashes = new Map<LogFile, string>();
    const reports = await load(database, [...given.keys()], {
      inspect: async (file) => {
        const found = await of(file, (each) => inspect(each, bench.inspect));
        if (found.ok) hashes.set(file, found.hash);
        return found;
      },
      at: localTime(new Date()),
      cameWith: (file) => of(file, cameWith),
      signal,
      confirm,
      onStep: ({ file, done, of: total }) => {
        const now = file === null ? 'Checking how the tables fit together' : step;
        this.tell({ state: { phase: 'loading', file, share: total === 0 ? null : done / total, step: now } });
      },
    });
    if (fresh === null) {
      // What a person needs to know of files that were loaded long ago is only what is no longer there.
      for (const { file, refused } of reports) if (refused !== null) keeper.notify(`${file}: ${refused}`);
      if (!last) return;
      this.tell({ unopened: false });
    }
    const report: LoadReport | null =
      fresh === null
        ? null
        : {
            files: reports,
            counts: fresh.counts(reports),
            recalculated: 0,
            unchanged: 0,
            cancelled: false,
            foreign: await fresh.foreign(reports),
          };
    if (reports.every(({ table }) => table === null)) {
      this.tell({ state: this.before(), report });
      return;
    }
    this.holds = true;
    // The log itself can be asked from here on; what rests on the calculation waits for it.
    this.tell({ state: { phase: 'calculating', done: 0, total: 0 }, version: this.snapshot.version + 1, report });
    // Each statement of the calculation would go before those of the pages.
    await this.answering.served();
    const keeping = fresh?.keep(reports, hashes) ?? Promise.resolve([]);
    const { isRestedOn } = await import('../../lib/store/tables');
    const idle =
      fresh !== null && !this.unfinished && reports.every(({ table }) => table === null || !isRestedOn(table));
    const [changed] = await Promise.all([keeping, this.calculate(signal, report, keeping, idle)]);
    if (changed.length > 0) await this.without(signal, incoming, changed);
  }

  /** Takes a load out again in which files had changed between looking them through and keeping them, and the others in anew. */
  private async without<File extends PreparedFile>(
    signal: AbortSignal,
    incoming: Incoming<File>,
    changed: readonly LogFile[],
  ): Promise<void> {
    const { database } = await this.open();
    await (await import('../../lib/store/undo')).undoLastLoad(database);
    await this.recount();
    await this.takeIn(signal, {
      ...incoming,
      inspect: (each, look) =>
        changed.includes(each.file)
          ? Promise.resolve({ ok: false, reason: refusal.changed })
          : incoming.inspect(each, look),
    });
  }

  /**
   * Works out what is due; the log is open after it. `until` is waited for before the log is told to be open. `idle`: nothing is
   * due, as is known without looking.
   */
  private async calculate(
    signal: AbortSignal,
    report: LoadReport | null,
    until: Promise<unknown> = Promise.resolve(),
    idle = false,
  ): Promise<void> {
    const { database, crew } = await this.open();
    const { nothingDue, recalculate } = await import('../../lib/store/recalculate');
    this.unfinished = !idle;
    const outcome = idle
      ? await nothingDue(database)
      : await recalculate(database, crew, {
          signal,
          onProgress: (done, total) => {
            this.tell({ state: { phase: 'calculating', done, total } });
          },
        });
    this.unfinished = outcome.cancelled;
    await until;
    const none = outcome.cancelled ? { files: [], foreign: [], counts: cameCounts([], []) } : null;
    const told = report ?? none;
    this.tell({
      state: this.before(),
      version: this.snapshot.version + 1,
      report: told === null ? null : { ...told, ...outcome },
    });
  }
}

export const session = new LogSession();
