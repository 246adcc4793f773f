import type { z } from 'zod';
import type { Gauge, Spec } from '../../calc/types';
import type { Progress, SearchOptions } from '../../find/search';
import type { SearchAnswer } from '../../find/types';
import type { Inspection, LogFile } from '../../log/inspect';
import type { Mapping } from '../../log/mapping/mapping';
import type { Prepared } from '../../log/mapping/prepare';
import type { Tried } from '../../log/mapping/tryOut';
import type { PreparedFile } from '../../log/prepared';
import type { BackTest } from '../../quote/types';
import { UnreadableFile } from '../database';
import type { Answer, Batch } from '../numbers';
import type { Calculator } from '../recalculate';
import type { PackedQuoteHistory } from '../quote';
import type { PriceAnswer, PriceQuestion, QuoteAnswer, QuoteChoices, QuoteQuestion } from '../quoteDesk';
import type { PackedHistory, Searcher, SearchHooks } from '../search';
import {
  answerSchema,
  backTestSchema,
  inspectionSchema,
  parquetHeadSchema,
  parquetPieceSchema,
  preparedSchema,
  priceAnswerSchema,
  quoteAnswerSchema,
  replySchema,
  triedSchema,
  searchAnswerSchema,
  type ParquetHead,
  type Asked,
  type Request,
} from './messages';

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: Error) => void;
  readonly onProgress?: ((progress: Progress) => void) | undefined;
}

/** The page's end of the worker: each request is answered once, bytes cross without a copy. */
export class Bench implements Calculator<Uint8Array>, Searcher<Uint8Array> {
  readonly width = 1;
  private readonly waiting = new Map<number, Waiting>();
  private lastId = 0;

  constructor(private readonly worker: Worker) {
    worker.addEventListener('message', (event: MessageEvent<unknown>) => {
      this.settle(replySchema.parse(event.data));
    });
    worker.addEventListener('error', (event) => {
      for (const { reject } of this.waiting.values()) reject(new Error(event.message));
      this.waiting.clear();
    });
  }

  private settle(reply: z.infer<typeof replySchema>): void {
    const waiting = this.waiting.get(reply.id);
    if (waiting === undefined) throw new Error(`The worker answered a request that was not made: ${reply.id}`);
    if ('progress' in reply) {
      waiting.onProgress?.(reply.progress);
      return;
    }
    this.waiting.delete(reply.id);
    if (reply.ok) waiting.resolve(reply.value);
    else waiting.reject(reply.unreadable ? new UnreadableFile(reply.message) : new Error(reply.message));
  }

  private async ask<T>(
    asked: Asked,
    answer: z.ZodType<T> | null,
    transfer: Transferable[] = [],
    onProgress?: (progress: Progress) => void,
  ): Promise<T | null> {
    this.lastId += 1;
    const request: Request = { ...asked, id: this.lastId };
    const value = await new Promise<unknown>((resolve, reject) => {
      this.waiting.set(request.id, { resolve, reject, onProgress });
      this.worker.postMessage(request, { transfer });
    });
    return answer === null ? null : answer.parse(value);
  }

  /** Starts the Parquet codec ahead of its first use. */
  async warm(): Promise<void> {
    await this.ask({ kind: 'warm' }, null);
  }

  /** Takes a workbook apart and reads by a mapping what has one; any other file comes back as it is. */
  async prepare({ file, refused, note }: PreparedFile, mappings: readonly Mapping[]): Promise<Prepared<Mapping>> {
    const { name, blob, origin } = file;
    const prepared = { file: { name, blob, path: null, origin }, refused, note };
    return must(await this.ask({ kind: 'prepare', prepared, mappings: [...mappings] }, preparedSchema));
  }

  /** What a mapping makes of all rows of a sheet, of which nothing is taken in. */
  async tryOut(blob: Blob, mapping: Mapping): Promise<Tried> {
    return must(await this.ask({ kind: 'tryOut', blob, mapping }, triedSchema));
  }

  inspect = async (file: LogFile): Promise<Inspection> =>
    must(await this.ask({ kind: 'inspect', name: file.name, blob: file.blob }, inspectionSchema));

  /** Opens a Parquet file; nextParquet then gives its batches, and null after the last, which closes it. */
  async openParquet(blob: Blob): Promise<ParquetHead> {
    return must(await this.ask({ kind: 'openParquet', blob }, parquetHeadSchema));
  }

  async nextParquet(reading: number): Promise<Uint8Array | null> {
    return this.ask({ kind: 'nextParquet', reading }, parquetPieceSchema);
  }

  async closeParquet(reading: number): Promise<void> {
    await this.ask({ kind: 'closeParquet', reading }, null);
  }

  async begin(specs: readonly Spec[], gauges: readonly Gauge[]): Promise<void> {
    await this.ask({ kind: 'begin', specs: [...specs], gauges: [...gauges] }, null);
  }

  async calculate(batch: Batch<Uint8Array>): Promise<Answer<Uint8Array>> {
    const transfer = Object.values(batch).map((bytes) => bytes.buffer as ArrayBuffer);
    return must(await this.ask({ kind: 'calculate', batch }, answerSchema, transfer));
  }

  /** Searches for recurring faults in the worker. Rejects with the signal's reason when it is called off. */
  async search(
    { names, parts }: PackedHistory<Uint8Array>,
    { technicians }: SearchOptions,
    { onProgress, signal }: SearchHooks,
  ): Promise<SearchAnswer> {
    signal?.throwIfAborted();
    const named = Object.fromEntries(Object.entries(names).map(([column, list]) => [column, [...list]]));
    const transfer = Object.values(parts).map((bytes) => bytes.buffer as ArrayBuffer);
    const asked = { kind: 'search', names: named, parts, technicians } as Extract<Asked, { kind: 'search' }>;
    const answering = this.ask(asked, searchAnswerSchema, transfer, onProgress);
    const search = this.lastId;
    const end = () => void this.ask({ kind: 'endSearch', search }, null);
    signal?.addEventListener('abort', end, { once: true });
    try {
      return must(await answering);
    } catch (error) {
      signal?.throwIfAborted();
      throw error;
    } finally {
      signal?.removeEventListener('abort', end);
    }
  }

  /** Lays the log's history out for quotes, in the place of what was laid out before. */
  async takeQuoteHistory({ columns, names }: PackedQuoteHistory<Uint8Array>): Promise<void> {
    const named = Object.fromEntries(Object.entries(names).map(([name, list]) => [name, [...list]]));
    const asked = { kind: 'quoteHistory', columns, names: named } as Extract<Asked, { kind: 'quoteHistory' }>;
    await this.ask(asked, null, [columns.buffer as ArrayBuffer]);
  }

  async quote(question: QuoteQuestion): Promise<QuoteAnswer> {
    return must(await this.ask({ kind: 'quote', question }, quoteAnswerSchema));
  }

  async quotePrice(question: PriceQuestion): Promise<PriceAnswer> {
    return must(await this.ask({ kind: 'quotePrice', question }, priceAnswerSchema));
  }

  /** Quotes all past jobs anew: takes a second or two of a large log. */
  async quoteTest(choices: QuoteChoices): Promise<BackTest> {
    return must(await this.ask({ kind: 'quoteTest', choices }, backTestSchema));
  }

  close(): void {
    this.worker.terminate();
  }
}

function must<T>(value: T | null): T {
  if (value === null) throw new Error('The worker gave no answer');
  return value;
}
