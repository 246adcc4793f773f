import { z } from 'zod';
import { resultTables, type ResultTable } from '../../calc/layout';
import type { Gauge, Spec } from '../../calc/types';
import { historyParts, namedColumns } from '../../find/history';
import type { SearchAnswer } from '../../find/types';
import { mappingSchema } from '../../log/mapping/mapping';
import { tableNames } from '../../log/table';
import type { BackTest } from '../../quote/types';
import { batchParts } from '../numbers';
import { choicesSchema, priceQuestion, quoteNamesSchema, quoteQuestion } from '../quoteDesk';
import type { PriceAnswer, QuoteAnswer } from '../quoteDesk';

/** What page and worker say to each other: one request, one reply with the same id. */

const bytes = z.custom<Uint8Array>((value) => value instanceof Uint8Array);
const blob = z.instanceof(Blob);
const id = z.int();

/** Specifications and gauges are checked where the log is read (lib/store/specs); here only that these are lists of them. */
const spec = z.custom<Spec>((value) => typeof value === 'object' && value !== null && 'spec_no' in value);
const gauge = z.custom<Gauge>((value) => typeof value === 'object' && value !== null && 'calibrated_day' in value);

const origin = z.object({ name: z.string(), bytes: z.number(), hash: z.string(), sheet: z.string().nullable() });
const prepared = z.object({
  file: z.object({ name: z.string(), blob, path: z.null(), origin: origin.optional() }),
  refused: z.string().nullable(),
  note: z.string().nullable(),
});

export const requestSchema = z.discriminatedUnion('kind', [
  z.object({ id, kind: z.literal('warm') }),
  z.object({ id, kind: z.literal('prepare'), prepared, mappings: z.array(mappingSchema) }),
  z.object({ id, kind: z.literal('tryOut'), blob, mapping: mappingSchema }),
  z.object({ id, kind: z.literal('inspect'), name: z.string(), blob }),
  z.object({ id, kind: z.literal('openParquet'), blob }),
  z.object({ id, kind: z.literal('nextParquet'), reading: z.int() }),
  z.object({ id, kind: z.literal('closeParquet'), reading: z.int() }),
  z.object({ id, kind: z.literal('begin'), specs: z.array(spec), gauges: z.array(gauge) }),
  z.object({ id, kind: z.literal('calculate'), batch: z.record(z.enum(batchParts), bytes) }),
  z.object({
    id,
    kind: z.literal('search'),
    names: z.record(z.enum(namedColumns), z.array(z.string())),
    parts: z.record(z.enum(historyParts), bytes),
    technicians: z.boolean(),
  }),
  /** Calls the search off that was asked for with id `search`; that one then fails. */
  z.object({ id, kind: z.literal('endSearch'), search: id }),
  /** Lays the log's history out for quotes; the next three ask of it. */
  z.object({ id, kind: z.literal('quoteHistory'), columns: bytes, names: quoteNamesSchema }),
  z.object({ id, kind: z.literal('quote'), question: quoteQuestion }),
  z.object({ id, kind: z.literal('quotePrice'), question: priceQuestion }),
  z.object({ id, kind: z.literal('quoteTest'), choices: choicesSchema }),
]);
export type Request = z.infer<typeof requestSchema>;
/** A request before it gets its id. */
export type Asked = { [K in Request['kind']]: Omit<Extract<Request, { kind: K }>, 'id'> }[Request['kind']];

export const inspectionSchema = z.union([
  z.object({ ok: z.literal(false), reason: z.string() }),
  z.object({ ok: z.literal(true), format: z.literal('parquet'), hash: z.string() }),
  z.object({
    ok: z.literal(true),
    format: z.literal('csv'),
    hash: z.string(),
    table: z.enum(tableNames),
    header: z.array(z.string()),
    blankRows: z.array(z.int()),
    mixedLineEnds: z.boolean(),
    note: z.string().nullable(),
  }),
]);

export const preparedSchema = z.object({ files: z.array(prepared), used: z.array(mappingSchema) });

export const triedSchema = z.union([
  z.object({ ok: z.literal(false), reason: z.string() }),
  z.object({
    ok: z.literal(true),
    looked: z.int(),
    tables: z.array(
      z.object({
        table: z.enum(tableNames),
        header: z.array(z.string()),
        rows: z.array(z.array(z.string())),
        total: z.int(),
        aside: z.int(),
      }),
    ),
    faults: z.array(
      z.object({
        table: z.enum(tableNames),
        column: z.string(),
        reason: z.string(),
        rows: z.int(),
        first: z.int(),
        value: z.string(),
      }),
    ),
    unused: z.array(z.string()),
    idle: z.int(),
    conflicts: z.int(),
    doubts: z.array(z.string()),
  }),
]);

export const parquetHeadSchema = z.object({
  reading: z.int(),
  columns: z.array(z.object({ name: z.string(), type: z.string() })),
});
export type ParquetHead = z.infer<typeof parquetHeadSchema>;
export const parquetPieceSchema = bytes.nullable();
export const answerSchema = z.record(z.enum(resultTables as [ResultTable, ...ResultTable[]]), bytes);

/** Worked out by our own worker from checked columns; here only that it is an answer of a search. */
export const searchAnswerSchema = z.custom<SearchAnswer>(
  (value) => typeof value === 'object' && value !== null && 'found' in value && 'comparisons' in value,
);

/** The same of quotes: our own worker worked them out. */
const answers =
  (...keys: readonly string[]) =>
  (value: unknown) =>
    typeof value === 'object' && value !== null && keys.every((key) => key in value);
export const quoteAnswerSchema = z.custom<QuoteAnswer>(answers('estimate', 'similar'));
export const priceAnswerSchema = z.custom<PriceAnswer>(answers('overrun', 'low', 'high'));
export const backTestSchema = z.custom<BackTest>(answers('tests', 'jobs'));

const progress = z.object({ done: z.int(), total: z.int() });

/** A request is answered once; before that, a long one tells how far it is. */
export const replySchema = z.union([
  z.object({ id, progress }),
  z.object({ id, ok: z.literal(true), value: z.unknown() }),
  z.object({ id, ok: z.literal(false), message: z.string(), unreadable: z.boolean() }),
]);
export type Reply = z.infer<typeof replySchema>;
