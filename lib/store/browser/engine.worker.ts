import { calibrate } from '../../calc/batch';
import { resultTables, type ResultTable } from '../../calc/layout';
import type { Gauge, Spec } from '../../calc/types';
import { historyOf, historyParts, type HistoryPart } from '../../find/history';
import type { NumberColumns } from '../../stats/numberColumns';
import { searchSteps } from '../../find/search';
import type { SearchAnswer } from '../../find/types';
import { inspect } from '../../log/inspect';
import { MOST_MAPPED } from '../../log/mapping/most';
import { prepareFile } from '../../log/mapping/prepare';
import { UnreadableFile } from '../database';
import { QuoteDesk } from '../quoteDesk';
import { answerOf, batchParts, readingsOf, type BatchPart, type NumberTable } from '../numbers';
import { numbersFromIpc, resultsToIpc } from './ipc';
import { requestSchema, type Reply, type Request } from './messages';
import { codecFell, ParquetReading, startCodec } from './parquet';

/** The bench hand: looks files through, takes Parquet apart and runs the engine, so that the page stays free. */

let specs = new Map<number, Spec>();
let gauges = new Map<number, Gauge>();
const readings = new Map<number, ParquetReading>();
let lastReading = 0;

const post = (reply: Reply, transfer: Transferable[] = []): void => {
  self.postMessage(reply, { transfer });
};

async function answer(request: Request): Promise<{ value: unknown; transfer?: Transferable[] }> {
  switch (request.kind) {
    case 'warm':
      await startCodec();
      return { value: null };
    case 'prepare':
      return { value: await prepareFile(request.prepared, request.mappings, (each) => each, MOST_MAPPED) };
    case 'tryOut': {
      const { tryOutSheet } = await import('../../log/mapping/tryOut');
      return { value: await tryOutSheet(request.blob, request.mapping) };
    }
    case 'inspect':
      return { value: await inspect({ name: request.name, blob: request.blob, path: null }) };
    case 'openParquet': {
      const opened = await ParquetReading.open(request.blob);
      lastReading += 1;
      readings.set(lastReading, opened);
      return { value: { reading: lastReading, columns: opened.columns } };
    }
    case 'nextParquet': {
      const piece = await readings.get(request.reading)?.next();
      if (piece === undefined) throw new Error('No such Parquet file is open');
      if (piece === null) await closeReading(request.reading);
      return piece === null ? { value: null } : { value: piece, transfer: [piece.buffer] };
    }
    case 'closeParquet':
      await closeReading(request.reading);
      return { value: null };
    case 'begin':
      specs = new Map(request.specs.map((spec) => [spec.spec_no, spec]));
      gauges = new Map(request.gauges.map((gauge) => [gauge.gauge, gauge]));
      return { value: null };
    case 'calculate':
      return calculate(request.batch);
    case 'search':
      return { value: await searchThrough(request) };
    case 'endSearch':
      ended.add(request.search);
      return { value: null };
    case 'quoteHistory':
      quotes = new QuoteDesk(numbersFromIpc(request.columns), request.names);
      return { value: null };
    case 'quote':
      return { value: quoting().quote(request.question) };
    case 'quotePrice':
      return { value: quoting().price(request.question) };
    case 'quoteTest':
      return { value: quoting().test(request.choices) };
  }
}

let quotes: QuoteDesk | null = null;

function quoting(): QuoteDesk {
  if (quotes === null) throw new Error('No history was laid out for quotes');
  return quotes;
}

/** Searches that were called off. */
const ended = new Set<number>();

/** A step at a time: in between, messages are seen, so that a search can be called off and the pages' other requests go on. */
async function searchThrough(request: Extract<Request, { kind: 'search' }>): Promise<SearchAnswer> {
  const { id, names, parts, technicians } = request;
  const columns = historyParts.map((part): [HistoryPart, NumberColumns] => [part, numbersFromIpc(parts[part])]);
  const steps = searchSteps(historyOf(Object.fromEntries(columns) as Record<HistoryPart, NumberColumns>, names), {
    technicians,
  });
  for (;;) {
    const { value, done } = steps.next();
    if (done === true) return value;
    post({ id, progress: value });
    await new Promise((resolve) => setTimeout(resolve, 0));
    if (ended.delete(id)) throw new Error('The search was called off');
  }
}

async function closeReading(reading: number): Promise<void> {
  const closing = readings.get(reading);
  readings.delete(reading);
  await closing?.close();
}

function calculate(batch: Readonly<Record<BatchPart, Uint8Array>>): { value: unknown; transfer: Transferable[] } {
  const part = (name: BatchPart): NumberTable => numbersFromIpc(batch[name]);
  const [jobs, closures, shims, draws, barrels, governor] = batchParts.map(part);
  if (!jobs || !closures || !shims || !draws || !barrels || !governor) {
    throw new Error('A batch lacks one of its parts');
  }
  const answers = answerOf(calibrate(specs, readingsOf({ jobs, closures, shims, draws, barrels, governor }), gauges));
  const packed = resultTables.map((name): [ResultTable, Uint8Array] => [name, resultsToIpc(name, answers[name])]);
  return { value: Object.fromEntries(packed), transfer: packed.map(([, bytes]) => bytes.buffer as ArrayBuffer) };
}

self.addEventListener('error', (event) => {
  if (codecFell(event.error)) event.preventDefault();
});

self.addEventListener('message', (event: MessageEvent<unknown>) => {
  const request = requestSchema.parse(event.data);
  answer(request).then(
    ({ value, transfer }) => {
      post({ id: request.id, ok: true, value }, transfer);
    },
    (error: unknown) => {
      const message = error instanceof Error ? error.message : String(error);
      post({ id: request.id, ok: false, message, unreadable: error instanceof UnreadableFile });
    },
  );
});
