import { sha256 } from '@noble/hashes/sha2.js';
import { utf8ToBytes } from '@noble/hashes/utils.js';
import { visible } from '../words/visible';
import { sha256Hex } from './canonical';
import { recordJson, type AuditRecord } from './record';
import { txt } from './rows';
import { sheetOf } from './sheet/sheet';
import type { SheetElement, SheetNode } from './sheet/nodes';
import { pageStyle, sheetStyle } from './sheet/style';

/** The record as one file that any browser opens and prints, without a network and without a script, and that carries its own data. */

const escapes: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
const escaped = (text: string): string => text.replace(/[&<>"']/g, (letter) => escapes[letter] ?? letter);

/** Elements that hold nothing but text and inline elements: each is one line of the file, so that a change in it can be named. */
const ONE_LINE: ReadonlySet<string> = new Set(['h1', 'h2', 'h3', 'p', 'li', 'dt', 'dd', 'caption', 'th', 'td']);
const INLINE: ReadonlySet<string> = new Set(['strong', 'span', 'code']);

export function htmlOf(node: SheetNode): string {
  if (typeof node === 'string') return escaped(node);
  const { tag } = node;
  const open = `<${tag}${attributesOf(node)}>`;
  const within = node.children.map(htmlOf).join('');
  if (INLINE.has(tag)) return `${open}${within}</${tag}>`;
  return ONE_LINE.has(tag) ? `${open}${within}</${tag}>\n` : `${open}\n${within}</${tag}>\n`;
}

const attributesOf = ({ attributes }: SheetElement): string =>
  Object.entries(attributes)
    .map(([name, value]) => ` ${name}="${escaped(value)}"`)
    .join('');

/** Data of a script element ends at the first mark that could close it; JSON may write that mark by its number. */
const embedded = (json: string): string => json.replaceAll('<', '\\u003c');

const base64Hash = (text: string): string => btoa(String.fromCharCode(...sha256(utf8ToBytes(text))));

const bodyStyle = 'body { margin: 6mm; background: #fff; }\n@media print { body { margin: 0; } }\n';

export const DATA_OPENS = '<script type="application/json" id="record-data">';
export const DATA_CLOSES = '</script>';

/** The saved file. The same record gives the same bytes. */
export function recordHtml(record: AuditRecord): string {
  const json = recordJson(record);
  const hash = sha256Hex(json);
  const job = txt(record.job, 'job_id') ?? '';
  const style = `\n${bodyStyle}${sheetStyle}${pageStyle(visible(job), hash)}`;
  // Nothing may be loaded or run, and no style but this one applies.
  const policy = `default-src 'none'; style-src 'sha256-${base64Hash(style)}'; base-uri 'none'; form-action 'none'`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${escaped(visible(`Audit record of job ${job}, ${hash.slice(0, SHORT_HASH)}`))}</title>
<style>${style}</style>
</head>
<body>
${htmlOf(sheetOf(record, hash))}${DATA_OPENS}${embedded(json)}${DATA_CLOSES}
</body>
</html>
`;
}

/** Hexadecimal digits that tell two records of a shop apart at a glance. */
const SHORT_HASH = 12;

/** What a saved record is called: the job as far as file names go, and the beginning of the hash. */
export function recordName(record: AuditRecord, ending: 'html' | 'json'): string {
  const job = (txt(record.job, 'job_id') ?? '').replace(/[^A-Za-z0-9._-]+/g, '-').replace(/^[.-]+/, '');
  const hash = sha256Hex(recordJson(record)).slice(0, SHORT_HASH);
  return `record-${job === '' ? 'job' : job}-${hash}.${ending}`;
}
