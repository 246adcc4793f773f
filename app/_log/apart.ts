import { keeper } from './keeper';

/** The demo log and files of a shop's own count together once they are in one log: what would bring them together is known here. */

export type MixAnswer = 'close' | 'add' | 'keep';

/** What would come together. */
export interface Mixing {
  readonly coming: 'own files' | 'demo log';
  /** Files of the shop's own that are open: only those that are kept can be had again without the demo log. */
  readonly own: 'none' | 'kept' | 'not kept';
  /** Whether notes or quotes go with the demo log. */
  readonly written: boolean;
}

/** The loads of the open log, by whose they are. */
export class Apart {
  private readonly demo = new Set<number>();
  private readonly own = new Set<number>();

  took(no: number, demo: boolean): void {
    (demo ? this.demo : this.own).add(no);
  }

  without(no: number): void {
    this.demo.delete(no);
    this.own.delete(no);
  }

  clear(): void {
    this.demo.clear();
    this.own.clear();
  }

  /** One that is kept counts even where it could not be read: it opens at the next visit. */
  get holdsDemo(): boolean {
    return this.demo.size > 0 || keeper.read().loads.some(({ demo }) => demo);
  }

  /** What a load would mix, null where nothing. */
  private mixing(demo: boolean): Mixing | null {
    if (demo ? this.holdsDemo || this.own.size === 0 : !this.holdsDemo) return null;
    const { loads, notes, quotes } = keeper.read();
    const kept = new Set(loads.map(({ no }) => no));
    const own = this.own.size === 0 ? 'none' : [...this.own].every((no) => kept.has(no)) ? 'kept' : 'not kept';
    const written = loads.every((load) => load.demo) && notes.length + quotes.length > 0;
    return { coming: demo ? 'demo log' : 'own files', own, written };
  }

  /** Whether a load may be taken in, after asking where it would mix; the demo log is closed first where that is the answer. */
  async mayJoin(
    demo: boolean,
    ask: (mixing: Mixing) => Promise<MixAnswer>,
    closeDemo: () => Promise<void>,
  ): Promise<boolean> {
    const mixing = this.mixing(demo);
    if (mixing === null) return true;
    const answer = await ask(mixing);
    if (answer !== 'close') return answer === 'add';
    await closeDemo();
    return !this.holdsDemo;
  }
}
