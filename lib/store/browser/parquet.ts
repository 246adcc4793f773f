import initParquet, { ParquetFile, type RecordBatch } from 'parquet-wasm';
import { DataType, tableFromIPC, type Field } from 'apache-arrow';
import { UnreadableFile } from '../database';

const BATCH_ROWS = 131072;

let codec: Promise<unknown> | null = null;

/** Loads the codec once, however many ask while it loads: a second copy would pull the first from under its files. */
export async function startCodec(): Promise<void> {
  codec ??= initParquet();
  await codec;
}

/** A Parquet file read batch by batch as Arrow streams, from its place on disk and never as a whole. */
export class ParquetReading {
  private underWay: Promise<unknown> = Promise.resolve();

  private constructor(
    readonly columns: readonly { readonly name: string; readonly type: string }[],
    private readonly file: ParquetFile,
    private readonly batches: ReadableStreamDefaultReader<RecordBatch>,
  ) {}

  static async open(blob: Blob): Promise<ParquetReading> {
    await startCodec();
    return readable(async () => {
      const file = await ParquetFile.fromFile(blob);
      const head = tableFromIPC(file.schema().intoIPCStream());
      const stream = (await file.stream({ batchSize: BATCH_ROWS })) as ReadableStream<RecordBatch>;
      return new ParquetReading(
        head.schema.fields.map((field: Field<DataType>) => ({ name: field.name, type: typeName(field.type) })),
        file,
        stream.getReader(),
      );
    });
  }

  /** The next batch as the bytes of an Arrow stream, or null after the last one. */
  async next(): Promise<Uint8Array<ArrayBuffer> | null> {
    const reading = readable(() => this.batches.read());
    this.underWay = reading;
    const { done, value } = await reading;
    if (done) return null;
    return Uint8Array.from(value.intoIPCStream());
  }

  /** Lets the file go, after the end of a read that is still under way in it. */
  async close(): Promise<void> {
    await Promise.allSettled([this.underWay]);
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

/** The codec reports what is wrong with a file as plain text. */
async function readable<T>(read: () => Promise<T>): Promise<T> {
  try {
    return await read();
  } catch (error) {
    throw new UnreadableFile(error instanceof Error ? error.message : String(error));
  }
}
