import initParquet, { ParquetFile, type RecordBatch } from 'parquet-wasm';
import { DataType, tableFromIPC, type Field } from 'apache-arrow';
import { UnreadableFile, weighParquet } from '../database';

const BATCH_ROWS = 131072;

let codec: Promise<unknown> | null = null;

/** Loads the codec once, however many ask while it loads: a second copy would pull the first from under its files. */
export async function startCodec(): Promise<void> {
  // Outside a browser the codec comes ready, without a function to start it.
  codec ??= typeof initParquet === 'function' ? initParquet() : Promise.resolve();
  await codec;
}

/** A Parquet file read batch by batch as Arrow streams, from its place on disk and never as a whole. */
export class ParquetReading {
  private underWay: Promise<unknown> = Promise.resolve();
  private rows = 0;

  private constructor(
    readonly columns: readonly { readonly name: string; readonly type: string }[],
    private readonly file: ParquetFile,
    private readonly batches: ReadableStreamDefaultReader<RecordBatch>,
    private readonly bytes: number,
  ) {}

  static async open(blob: Blob): Promise<ParquetReading> {
    await startCodec();
    return readable(async () => {
      const file = await ParquetFile.fromFile(blob);
      const head = tableFromIPC(file.schema().intoIPCStream());
      const said = file.metadata().fileMetadata().numRows();
      weighParquet(blob.size, said, head.schema.fields.length);
      const stream = (await file.stream({ batchSize: BATCH_ROWS })) as ReadableStream<RecordBatch>;
      return new ParquetReading(
        head.schema.fields.map((field: Field<DataType>) => ({ name: field.name, type: typeName(field.type) })),
        file,
        stream.getReader(),
        blob.size,
      );
    });
  }

  /** The next batch as the bytes of an Arrow stream, or null after the last one. */
  async next(): Promise<Uint8Array<ArrayBuffer> | null> {
    const reading = readable(() => this.batches.read());
    this.underWay = reading;
    const { done, value } = await reading;
    if (done) return null;
    // Row groups may hold more than the file says of itself.
    this.rows += value.numRows;
    weighParquet(this.bytes, this.rows, 0);
    return Uint8Array.from(value.intoIPCStream());
  }

  /** Lets the file go, after the end of a read that is still under way in it. */
  async close(): Promise<void> {
    const [ended] = await Promise.allSettled([this.underWay]);
    // After a fall nothing of the codec's is asked again: it would not answer.
    if (ended.status === 'rejected' && ended.reason instanceof CodecFell) return;
    await this.batches.cancel();
    this.file.free();
  }
}

/** The database's name for a column's type, as far as reading cells cares: text, yes or no, list, or anything else. */
function typeName(type: DataType): string {
  if (DataType.isDictionary(type)) return 'VARCHAR';
  if (DataType.isUtf8(type) || DataType.isLargeUtf8(type)) return 'VARCHAR';
  if (DataType.isBool(type)) return 'BOOLEAN';
  return DataType.isList(type) ? 'LIST[]' : 'OTHER';
}

/** A file at which the codec fell, instead of telling what is wrong with it. */
class CodecFell extends UnreadableFile {}

let falls: ((fell: CodecFell) => void) | null = null;
let turn: Promise<unknown> = Promise.resolve();

const fall = (): CodecFell => new CodecFell('a page of it is damaged');

/**
 * Some damaged pages make the codec fall in the middle of a read. Its promise then stays open for ever, and what tells of the fall
 * is an error that nobody caught: whoever hears of one hands it in here. Answers whether it was the codec's.
 */
export function codecFell(error: unknown): boolean {
  if (!(error instanceof WebAssembly.RuntimeError) || falls === null) return false;
  falls(fall());
  return true;
}

/** One read after the other, so that a fall is told of the file that it belongs to. */
function readable<T>(read: () => Promise<T>): Promise<T> {
  const mine = turn.then(() => watched(read));
  turn = mine.catch(() => undefined);
  return mine;
}

/** The codec reports what is wrong with a file as plain text. */
async function watched<T>(read: () => Promise<T>): Promise<T> {
  const fell = new Promise<never>((_, reject) => {
    falls = reject;
  });
  try {
    return await Promise.race([read(), fell]);
  } catch (error) {
    if (error instanceof UnreadableFile) throw error;
    if (error instanceof WebAssembly.RuntimeError) throw fall();
    throw new UnreadableFile(error instanceof Error ? error.message : String(error));
  } finally {
    falls = null;
  }
}
