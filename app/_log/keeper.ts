import type { Checked, OpenedArchive, TakenOut } from '../../lib/keep/archive';
import type { ChangeBell } from '../../lib/keep/browser/tabs';
import type { KeptLog, NewLoad } from '../../lib/keep/kept';
import type { KeptFile, KeptLoad } from '../../lib/keep/manifest';
import { withNote, withoutNote, type LogNote, type NewNote } from '../../lib/keep/notes';
import { withoutQuote, withQuote, type KeptQuote } from '../../lib/keep/quotes';
import { sentences, whyNotKept } from '../../lib/keep/sentences';

const storage = () => import('./storage');

export interface Keeping {
  /** Whether the browser gives storage; null until it was asked. */
  readonly stored: boolean | null;
  readonly loads: readonly KeptLoad[];
  /** What a person wrote beside the log: kept with it, or of this tab alone where nothing is kept. */
  readonly notes: readonly LogNote[];
  /** Quotes that a person kept, with the log or in this tab alone as notes are. */
  readonly quotes: readonly KeptQuote[];
  /** Whether this tab may change what is kept; another one has the pen otherwise. */
  readonly pen: boolean;
  /** Another tab changed what is kept after it was opened here. */
  readonly behind: boolean;
  readonly damaged: boolean;
  /** What a person has to know, until waved away. */
  readonly notices: readonly string[];
}

/** Whether files of a shop's own are kept: what is written beside them is kept too. The demo log's pages carry nothing of a person's. */
export const ownLogKept = ({ stored, loads }: Pick<Keeping, 'stored' | 'loads'>): boolean =>
  stored === true && loads.some(({ demo }) => !demo);

/** Before the list was read, and in the pages as they were written. */
export const NOTHING_YET: Keeping = {
  stored: null,
  loads: [],
  notes: [],
  quotes: [],
  pen: true,
  behind: false,
  damaged: false,
  notices: [],
};

/** The log kept in this browser, as this tab sees it. */
class Keeper {
  private snapshot: Keeping = NOTHING_YET;
  private readonly listeners = new Set<() => void>();
  private kept: KeptLog | null = null;
  private beginning: Promise<void> | null = null;
  private bell: ChangeBell | null = null;
  private toldBarred = false;

  subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  read = (): Keeping => this.snapshot;

  private tell(change: Partial<Keeping>): void {
    this.snapshot = { ...this.snapshot, ...change };
    for (const listener of this.listeners) listener();
  }

  notify(notice: string): void {
    if (!this.snapshot.notices.includes(notice)) this.tell({ notices: [...this.snapshot.notices, notice] });
  }

  dismiss = (notice: string): void => {
    this.tell({ notices: this.snapshot.notices.filter((each) => each !== notice) });
  };

  /** Whether files can be taken in here; says why where they can't. */
  mayLoad(): boolean {
    const { pen, behind } = this.snapshot;
    if (!pen) this.notify(sentences.otherTab);
    return pen && !behind;
  }

  /** Looks at what is kept; once, and never fails: a browser without storage works as if nothing were kept. */
  begin(): Promise<void> {
    this.beginning ??= this.look();
    return this.beginning;
  }

  private async look(): Promise<void> {
    try {
      const { ChangeBell, KeptLog, OpfsFolder, takePen } = await storage();
      const folder = await OpfsFolder.open();
      const pen = await takePen(() => {
        void this.takeOver();
      });
      this.kept = await KeptLog.open(folder);
      this.bell = new ChangeBell((generation) => {
        if (generation !== this.kept?.generation) this.tell({ behind: true });
      });
      this.tell({ stored: true, pen });
      this.show();
      if (this.kept.damaged) this.notify(sentences.damagedList);
      if (pen) await this.kept.sweep().catch(() => undefined);
    } catch {
      this.tell({ stored: false });
    }
  }

  /** The tab that had the pen was closed. What it changed last is looked at first. */
  private async takeOver(): Promise<void> {
    const { KeptLog, OpfsFolder } = await storage();
    const now = await KeptLog.open(await OpfsFolder.open());
    const behind = this.snapshot.behind || now.generation !== this.kept?.generation;
    this.tell({ pen: true, behind, notices: this.snapshot.notices.filter((each) => each !== sentences.otherTab) });
  }

  private show(): void {
    if (this.kept === null) return;
    const { loads, damaged, notes, quotes } = this.kept;
    // What is written beside a log that is not kept stays in the tab.
    this.tell({ loads, damaged, ...(this.keepsLog ? { notes, quotes } : {}) });
  }

  private changed(): void {
    this.show();
    if (this.kept !== null) this.bell?.ring(this.kept.generation);
  }

  /** Sees what another tab kept; it is then to be opened again. */
  async refresh(): Promise<void> {
    await this.kept?.refresh();
    this.show();
    this.tell({ behind: false });
  }

  get highestLoad(): number {
    return this.snapshot.loads.at(-1)?.no ?? 0;
  }

  async bytes(file: KeptFile): Promise<Blob | null> {
    return (await this.kept?.bytes(file)) ?? null;
  }

  /** Keeps a load that was taken in; answers the files that had changed by then. It stays open in this tab whatever comes of it. */
  async add(load: NewLoad): Promise<readonly Blob[]> {
    if (this.kept === null) {
      // Told once: nothing changes by telling it at every load.
      if (!this.toldBarred) this.notify(sentences.barred);
      this.toldBarred = true;
      return [];
    }
    try {
      await this.kept.add(load);
      this.changed();
    } catch (error) {
      const { ChangedFiles } = await storage();
      if (error instanceof ChangedFiles) return error.blobs;
      this.notify(sentences.notKept(whyNotKept(error)));
    }
    return [];
  }

  async drop(no: number): Promise<void> {
    await this.change((kept) => kept.drop(no));
  }

  async clear(): Promise<void> {
    this.tell({ notes: [], quotes: [] });
    await this.change((kept) => kept.clear());
  }

  /** Lets the demo log go, and what was written beside it unless other loads are kept; answers whether it is gone. */
  async dropDemo(): Promise<boolean> {
    const { kept, snapshot } = this;
    const demo = snapshot.loads.filter((load) => load.demo);
    const alone = demo.length === snapshot.loads.length;
    try {
      // Where nothing is kept, or can't be read, what stands in the folder is not the demo's.
      if (demo.length === 0) {
        if (!this.keepsLog) this.tell({ notes: [], quotes: [] });
      } else if (alone) {
        await kept?.clear();
        this.tell({ notes: [], quotes: [] });
      } else for (const { no } of demo) await kept?.drop(no);
      this.changed();
      return true;
    } catch (error) {
      this.notify(sentences.demoNotClosed(whyNotKept(error)));
      return false;
    }
  }

  addNote = async (note: NewNote): Promise<void> => {
    await this.write(withNote(this.snapshot.notes, note));
  };

  removeNote = async (no: number): Promise<void> => {
    await this.write(withoutNote(this.snapshot.notes, no));
  };

  /** Keeps a quote; answers whether it is there now. */
  addQuote = async (quote: unknown): Promise<boolean> => {
    const quotes = withQuote(this.snapshot.quotes, quote);
    if (quotes === null) this.notify(sentences.noMoreQuotes);
    return quotes !== null && this.writeQuotes(quotes);
  };

  removeQuote = async (no: number): Promise<void> => {
    await this.writeQuotes(withoutQuote(this.snapshot.quotes, no));
  };

  /** Whether there is a kept log that notes and quotes belong to; with it they outlast the tab. */
  private get keepsLog(): boolean {
    const { kept } = this;
    return kept !== null && kept.loads.length + kept.notes.length + kept.quotes.length > 0;
  }

  /** Notes are there at once. */
  private async write(notes: readonly LogNote[]): Promise<void> {
    if (!this.mayLoad()) return;
    this.tell({ notes });
    await this.keepWritten((kept) => kept.write(notes), sentences.noteNotKept);
  }

  private async writeQuotes(quotes: readonly KeptQuote[]): Promise<boolean> {
    if (!this.mayLoad()) return false;
    this.tell({ quotes });
    await this.keepWritten((kept) => kept.writeQuotes(quotes), sentences.quoteNotKept);
    return true;
  }

  private async keepWritten(write: (kept: KeptLog) => Promise<void>, failed: (why: string) => string): Promise<void> {
    if (this.kept === null || !this.keepsLog) return;
    try {
      await write(this.kept);
      this.changed();
    } catch (error) {
      this.notify(failed(whyNotKept(error)));
    }
  }

  private async change(change: (kept: KeptLog) => Promise<void>): Promise<void> {
    if (this.kept === null) return;
    try {
      await change(this.kept);
      this.changed();
    } catch (error) {
      this.notify(sentences.notDropped(whyNotKept(error)));
    }
  }

  async takeOut(mappings: readonly unknown[]): Promise<TakenOut> {
    if (this.kept === null) return { ok: false, reason: sentences.barred };
    return (await storage()).takeOut(this.kept, mappings);
  }

  check = async (archive: Blob): Promise<Checked> => (await storage()).checkArchive(archive);

  /** Puts an archive in place of what is kept; answers why it could not be. */
  async restore({ loads, files, notes, quotes }: OpenedArchive): Promise<string | null> {
    if (this.kept === null) return sentences.barred;
    try {
      await this.kept.replace(loads, files, notes, quotes);
      this.changed();
      return null;
    } catch (error) {
      const { ChangedFiles } = await storage();
      return error instanceof ChangedFiles
        ? 'The archive was written to while it was read. What was kept is as it was.'
        : `${whyNotKept(error)} What was kept is as it was.`;
    }
  }
}

export const keeper = new Keeper();
