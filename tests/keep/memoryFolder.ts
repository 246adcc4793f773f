import type { Folder } from '../../lib/keep/folder';

/** How a step goes wrong: before it did anything, half-way through it, or after it was done. */
export type Fault = 'before' | 'half' | 'after';
export const faults: readonly Fault[] = ['before', 'half', 'after'];

export class Killed extends Error {}

/** A folder in memory whose n-th step can go wrong: once, as a full disk, or for good, as a tab that is killed. */
export class MemoryFolder implements Folder {
  private step = 0;
  private dead = false;
  plan: { readonly at: number; readonly fault: Fault; readonly error: Error } | null = null;

  constructor(readonly files = new Map<string, Blob>()) {}

  /** The folder as another tab finds it. */
  reopened(): MemoryFolder {
    return new MemoryFolder(this.files);
  }

  get steps(): number {
    return this.step;
  }

  private async go<T>(done: () => T, half: () => void = () => undefined): Promise<T> {
    if (this.dead) throw new Killed('The tab is gone');
    this.step += 1;
    // A turn of the event loop a step, as real storage takes.
    await Promise.resolve();
    if (this.plan?.at !== this.step) return done();
    const { fault, error } = this.plan;
    this.dead = error instanceof Killed;
    if (fault === 'half') half();
    if (fault === 'after') done();
    throw error;
  }

  list(): Promise<readonly string[]> {
    return this.go(() => [...this.files.keys()]);
  }

  read(name: string): Promise<Blob | null> {
    return this.go(() => this.files.get(name) ?? null);
  }

  write(name: string, content: Blob): Promise<void> {
    return this.go(
      () => {
        this.files.set(name, content);
      },
      () => {
        this.files.set(name, content.slice(0, Math.floor(content.size / 2)));
      },
    );
  }

  move(from: string, to: string): Promise<void> {
    return this.go(() => {
      const content = this.files.get(from);
      if (content === undefined || this.files.has(to)) throw new Error(`Can't move ${from} to ${to}`);
      this.files.set(to, content);
      this.files.delete(from);
    });
  }

  remove(name: string): Promise<void> {
    return this.go(() => {
      this.files.delete(name);
    });
  }
}
