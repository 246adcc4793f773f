type Rows = readonly unknown[];

/** What the kept answers may come to [rows]: some hundred answers, or the lists of jobs of a large shop and a few more. */
const MOST_ROWS = 60_000;
/** An answer takes room beside its rows: so many more [rows]. */
const ITSELF = 100;

/**
 * The answers that pages wait for: parts of a page that ask the same thing at once share one. The last ones are kept while the log
 * stands as it is, so that a filter taken back, or a page gone back to, is answered without asking the database again.
 */
export class Answering {
  private readonly underway = new Map<string, Promise<Rows>>();
  /** The one read last stands last. */
  private readonly told = new Map<string, Rows>();
  private room = 0;
  private log = -1;

  /**
   * @param log which state of the log is asked: its answers are let go of when another one is asked
   * @param stands whether the log stands: while it is loaded or worked out, an answer is soon another one and is not kept
   * @param key what is asked of it
   */
  async of(log: number, stands: boolean, key: string, ask: () => Promise<Rows>): Promise<Rows> {
    if (log !== this.log) this.forget(log);
    const known = stands ? this.known(log, key) : undefined;
    if (known !== undefined) return known;
    const own = `${log} ${key}`;
    const answer = this.underway.get(own) ?? ask();
    this.underway.set(own, answer);
    try {
      const rows = await answer;
      if (stands && log === this.log) this.keep(key, rows);
      return rows;
    } finally {
      this.underway.delete(own);
    }
  }

  /** What a log that stands has answered, if it is kept. */
  known(log: number, key: string): Rows | undefined {
    if (log !== this.log) this.forget(log);
    const rows = this.told.get(key);
    if (rows === undefined) return undefined;
    this.told.delete(key);
    this.told.set(key, rows);
    return rows;
  }

  /** Lets the pages ask what they already can, and waits for the answers. */
  async served(): Promise<void> {
    await new Promise((resolve) => setTimeout(resolve, 0));
    await Promise.allSettled(this.underway.values());
  }

  private forget(log: number): void {
    this.log = log;
    this.told.clear();
    this.room = 0;
  }

  private keep(key: string, rows: Rows): void {
    if (this.told.has(key)) return;
    this.told.set(key, rows);
    this.room += rows.length + ITSELF;
    for (const [oldest, { length }] of this.told) {
      if (this.room <= MOST_ROWS) return;
      this.told.delete(oldest);
      this.room -= length + ITSELF;
    }
  }
}
