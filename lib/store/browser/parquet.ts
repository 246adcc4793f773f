import initParquet, { ParquetFile, type RecordBatch } from 'parquet-wasm';
import { tableFromIPC } from 'apache-arrow';
import { UnreadableFile } from '../database';

const BATCH_ROWS = 131072;

/** A Parquet file read batch by batch as Arrow streams, from its place on disk and never as a whole. */
export class ParquetReading {
  private constructor(
    readonly columns: readonly string[],
    private readonly file: ParquetFile,
    private readonly batches: ReadableStreamDefaultReader<RecordBatch>,
  ) {}

  static async open(blob: Blob): Promise<ParquetReading> {
    await initParquet();
    return readable(async () => {
      const file = await ParquetFile.fromFile(blob);
      const head = tableFromIPC(file.schema().intoIPCStream());
      const stream = (await file.stream({ batchSize: BATCH_ROWS })) as ReadableStream<RecordBatch>;
      return new ParquetReading(
        head.schema.fields.map((field) => field.name),
        file,
        stream.getReader(),
      );
    });
  }

  /** The next batch as the bytes of an Arrow stream, or null after the last one. */
  async next(): Promise<Uint8Array<ArrayBuffer> | null> {
    const { done, value } = await readable(() => this.batches.read());
    if (done) {
      this.close();
      return null;
    }
    return Uint8Array.from(value.intoIPCStream());
  }

  close(): void {
    this.file.free();
  }
}

/** The codec reports what is wrong with a file as plain text. */
async function readable<T>(read: () => Promise<T>): Promise<T> {
  try {
    return await read();
  } catch (error) {
    throw new UnreadableFile(error instanceof Error ? error.message : String(error));
  }
}
