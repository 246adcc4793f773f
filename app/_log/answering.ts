type Rows = readonly unknown[];

/** The answers that pages wait for: parts of a page that ask the same thing at once share one. */
export class Answering {
  private readonly underway = new Map<string, Promise<Rows>>();

  /** @param key what is asked and of which log, so that an answer from before a change is not taken for one after it */
  async of(key: string, ask: () => Promise<Rows>): Promise<Rows> {
    const answer = this.underway.get(key) ?? ask();
    this.underway.set(key, answer);
    try {
      return await answer;
    } finally {
      this.underway.delete(key);
    }
  }

  /** Lets the pages ask what they already can, and waits for the answers. */
  async served(): Promise<void> {
    await new Promise((resolve) => setTimeout(resolve, 0));
    await Promise.allSettled(this.underway.values());
  }
}
