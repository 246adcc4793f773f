import { fork } from 'node:child_process';
import { createHash } from 'node:crypto';
import { createRequire } from 'node:module';
import { mkdir, readdir, rm, rmdir, stat } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { outcomeSchema, type Outcome, type Task } from './one';

/** Processes, a partition each: what one of them does to itself ends there. */

const CHILD = fileURLToPath(new URL('./child.ts', import.meta.url));
const TSX = pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href;

export function inProcess(task: Task): Promise<Outcome> {
  return new Promise((answer) => {
    const child = fork(CHILD, { execArgv: ['--import', TSX] });
    let outcome: Outcome | null = null;
    child.once('message', (message) => {
      outcome = outcomeSchema.parse(message);
    });
    child.once('error', (error) => {
      answer({ ok: false, reason: error.message });
    });
    child.once('exit', (code, signal) => {
      const how = signal === null ? `with status ${String(code)}` : `by ${signal}`;
      answer(
        outcome ?? {
          ok: false,
          reason: `its process ended ${how} before it was done. If the machine ran out of memory, give --memory less or fewer --processes.`,
        },
      );
    });
    child.send(task);
  });
}

/** Does each of `all`, so many at a time, in order of their start. */
export async function atOnce<T>(all: readonly T[], width: number, work: (one: T) => Promise<void>): Promise<void> {
  const queue = all.values();
  const hand = async (): Promise<void> => {
    for (const one of queue) await work(one);
  };
  await Promise.all(Array.from({ length: width }, hand));
}

/**
 * Where partitions are put together: beside the output, so that nobody who reads the output as a whole meets half of one; within
 * it where beside it is another disk, or closed to us. A folder moves at once only on the disk it is on.
 */
export class Workshops {
  private constructor(private readonly root: string) {}

  static async beside(to: string): Promise<Workshops> {
    await mkdir(to, { recursive: true });
    const place = resolve(to);
    const sameDisk = (await stat(place)).dev === (await stat(dirname(place))).dev;
    const beside = `${place}.unfinished`;
    const open =
      sameDisk &&
      (await mkdir(beside, { recursive: true }).then(
        () => true,
        () => false,
      ));
    return new Workshops(open ? beside : join(place, '.unfinished'));
  }

  private mark(partition: string): string {
    return createHash('sha256').update(partition).digest('hex').slice(0, MARK_LENGTH);
  }

  /** A folder that no other run has, and the end of those that runs which were killed left behind. */
  async clear(partition: string): Promise<string> {
    const mark = this.mark(partition);
    for (const left of await readdir(this.root).catch(() => [])) {
      if (left.startsWith(mark)) await rm(join(this.root, left), { recursive: true, force: true, maxRetries: 3 });
    }
    return join(this.root, `${mark}-${process.pid}`);
  }

  /** Other runs may be at work in it still. */
  async close(): Promise<void> {
    await rmdir(this.root).catch(() => undefined);
  }
}

const MARK_LENGTH = 16;
