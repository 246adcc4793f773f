import type { z } from 'zod';
import type { Spec } from '../../calc/types';
import type { Inspection, LogFile } from '../../log/inspect';
import { UnreadableFile } from '../database';
import type { Answer, Batch } from '../numbers';
import type { Calculator } from '../recalculate';
import {
  answerSchema,
  inspectionSchema,
  parquetHeadSchema,
  parquetPieceSchema,
  replySchema,
  type Asked,
  type Request,
} from './messages';

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: Error) => void;
}

/** The page's end of the worker: each request is answered once, bytes cross without a copy. */
export class Bench implements Calculator<Uint8Array> {
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
    this.waiting.delete(reply.id);
    if (reply.ok) waiting.resolve(reply.value);
    else waiting.reject(reply.unreadable ? new UnreadableFile(reply.message) : new Error(reply.message));
  }

  private async ask<T>(asked: Asked, answer: z.ZodType<T> | null, transfer: Transferable[] = []): Promise<T | null> {
    this.lastId += 1;
    const request: Request = { ...asked, id: this.lastId };
    const value = await new Promise<unknown>((resolve, reject) => {
      this.waiting.set(request.id, { resolve, reject });
      this.worker.postMessage(request, { transfer });
    });
    return answer === null ? null : answer.parse(value);
  }

  inspect = async (file: LogFile): Promise<Inspection> =>
    must(await this.ask({ kind: 'inspect', name: file.name, blob: file.blob }, inspectionSchema));

  /** Opens a Parquet file and answers its column names; nextParquet then gives its batches. One file at a time. */
  async openParquet(blob: Blob): Promise<readonly string[]> {
    return must(await this.ask({ kind: 'openParquet', blob }, parquetHeadSchema));
  }

  async nextParquet(): Promise<Uint8Array | null> {
    return this.ask({ kind: 'nextParquet' }, parquetPieceSchema);
  }

  async begin(specs: readonly Spec[]): Promise<void> {
    await this.ask({ kind: 'begin', specs: [...specs] }, null);
  }

  async calculate(batch: Batch<Uint8Array>): Promise<Answer<Uint8Array>> {
    const transfer = Object.values(batch).map((bytes) => bytes.buffer as ArrayBuffer);
    return must(await this.ask({ kind: 'calculate', batch }, answerSchema, transfer));
  }

  close(): void {
    this.worker.terminate();
  }
}

function must<T>(value: T | null): T {
  if (value === null) throw new Error('The worker gave no answer');
  return value;
}
