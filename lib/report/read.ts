import { z } from 'zod';
import { canonicalJson, sha256Hex } from './canonical';
import { DATA_CLOSES, DATA_OPENS } from './html';
import { RECORD_FORMAT, RECORD_VERSION, recordSchema, type AuditRecord } from './record';

/** A saved record taken apart again: the data that it carries, and the hash that it prints. */
export interface ReadRecord {
  readonly record: AuditRecord;
  /** SHA-256 of the data's one text. */
  readonly hash: string;
  /** What stands on the sheet; null where it prints none. */
  readonly printed: string | null;
  /** Whether the data are written as their one text. */
  readonly canonical: boolean;
}

export type Reading = { readonly ok: true; readonly read: ReadRecord } | { readonly ok: false; readonly says: string };

const refused = (says: string): Reading => ({ ok: false, says });

const envelope = z.object({ format: z.literal(RECORD_FORMAT), record_version: z.int() });
const PRINTED = /<code id="record-hash">([0-9a-f]{64})<\/code>/;

export function readRecord(html: string): Reading {
  const from = html.indexOf(DATA_OPENS);
  if (from < 0) return refused('It carries no record: it is not a saved record, or it was cut off.');
  const begin = from + DATA_OPENS.length;
  const end = html.indexOf(DATA_CLOSES, begin);
  if (end < 0) return refused('It was cut off: the end of its data is missing.');
  const text = html.slice(begin, end);
  const data = parsed(text);
  if (data === undefined) return refused('Its data are damaged: they are no JSON.');
  const kind = envelope.safeParse(data);
  if (!kind.success) return refused('Its data are not those of an audit record.');
  const { record_version: version } = kind.data;
  if (version !== RECORD_VERSION) {
    return refused(
      `It is of record version ${version}, and this Shimbook reads version ${RECORD_VERSION}. Check it with the Shimbook that made it.`,
    );
  }
  const record = recordSchema.safeParse(data);
  if (!record.success) return refused(`Its data are not as a record has them: ${issueWords(record.error)}.`);
  const one = canonicalJson(record.data);
  return {
    ok: true,
    read: {
      record: record.data,
      hash: sha256Hex(one),
      printed: PRINTED.exec(html.slice(0, from))?.[1] ?? null,
      canonical: text === one.replaceAll('<', '\\u003c'),
    },
  };
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

const MOST_ISSUES = 3;
const issueWords = ({ issues }: z.ZodError): string =>
  issues
    .slice(0, MOST_ISSUES)
    .map(({ path, message }) => `${path.map(String).join(', ')} (${message})`)
    .join('; ');
