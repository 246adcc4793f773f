import { Parser } from 'saxen';
import { markedEncoding } from '../mapping/read';
import { UnreadableWorkbook, workbookSays } from './sentences';

/** XML followed piece by piece, by names without their prefixes. */

export interface XmlReader {
  open(name: string, attribute: Attribute): void;
  close?(name: string): void;
  text?(text: string): void;
}
/** An attribute's value by its name without prefix; undefined where there is none. */
export type Attribute = (name: string) => string | undefined;

const plain = (name: string): string => name.slice(name.indexOf(':') + 1);

export async function readXml(pieces: AsyncIterable<Uint8Array>, part: string, reader: XmlReader): Promise<void> {
  const parser = new Parser();
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('openTag', (name, attributes, decode) => {
    reader.open(plain(name), (wanted) => {
      const all = attributes();
      const key = wanted in all ? wanted : Object.keys(all).find((each) => plain(each) === wanted);
      const value = key === undefined ? undefined : all[key];
      return value === undefined ? undefined : decode(value);
    });
  });
  parser.on('closeTag', (name) => reader.close?.(plain(name)));
  parser.on('text', (text, decode) => reader.text?.(decode(text)));
  parser.on('cdata', (text) => reader.text?.(text));
  let decoder: TextDecoder | null = null;
  for await (const piece of pieces) {
    decoder ??= new TextDecoder(markedEncoding(piece) ?? 'utf-8', { fatal: true });
    const from = decoder;
    telling(part, () => parser.write(from.decode(piece, { stream: true })));
  }
  telling(part, () => {
    const rest = decoder?.decode() ?? '';
    if (rest !== '') parser.write(rest);
    parser.end();
  });
}

/** What the parser or the decoder trips over is the part; what the reader refuses goes on as it is. */
function telling(part: string, read: () => unknown): void {
  try {
    read();
  } catch (error) {
    if (error instanceof UnreadableWorkbook) throw error;
    throw new UnreadableWorkbook(workbookSays.damaged(part));
  }
}
