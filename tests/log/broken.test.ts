import { describe, expect, it } from 'vitest';
import { inspect } from '../../lib/log/inspect';
import { textFile } from '../store/openLog';

const header = 'job_id,run,element,cam_deg';
const reasonOf = async (name: string, content: BlobPart): Promise<string> => {
  const found = await inspect(textFile(name, content));
  return found.ok ? 'readable' : found.reason;
};
const bytes = (...values: number[]) => new Uint8Array(values);
const latin1 = (text: string) => Uint8Array.from(text, (letter) => letter.charCodeAt(0));

describe('a file that is no table of a log is refused with what is wrong and what to do', () => {
  it.each([
    ['an empty file', '', 'The file is empty. Export it again'],
    ['a workbook', bytes(0x50, 0x4b, 0x03, 0x04, 1, 2), 'Save each sheet as CSV'],
    ['text in UTF-16', bytes(0xff, 0xfe, 0x6a, 0, 0x6f, 0), 'written in UTF-16'],
    [
      'UTF-16 without its mark',
      Uint8Array.from(`${header}\nA,1,1,0\n`.split('').flatMap((c) => [c.charCodeAt(0), 0])),
      'written in UTF-16',
    ],
    [
      'bytes that are no text',
      bytes(0x7f, 0x45, 0x4c, 0x46, 0, 0, 1, 0, 9, 9, 3, 0),
      'neither a CSV text nor a Parquet file',
    ],
    ['a null deep in the text', `${header}\n${'A,1,1,0\n'.repeat(40000)}\0`, 'neither a CSV text nor a Parquet file'],
    ['semicolons', 'job_id;run;element;cam_deg\nA;1;1;0,5\n', 'parted by semicolons'],
    ['tabs', 'job_id\trun\telement\tcam_deg\n', 'parted by tabs'],
    ['a column twice', 'job_id,run,element,cam_deg,Run\nA,1,1,0,2\n', 'The header has run more than once'],
    [
      'a column too few',
      'job_id,run,element,wheel\nA,1,1,0\n',
      'looks like the table closures, but lacks the column cam_deg',
    ],
    ['columns of no table', 'colour,weight\nred,3\n', 'No table has these columns (colour and weight)'],
    [
      'Windows text in row 3',
      latin1(`${header},note\nA,1,1,0,ok\nA,1,2,90,caf\xe9\n`),
      'Row 3 holds characters that are not UTF-8',
    ],
    ['UTF-8 cut off at the end', latin1(`${header}\nA,1,1,0\n\xc3`), 'Row 3 holds characters that are not UTF-8'],
    [
      'a quote that never closes',
      `${header}\nA,1,1,0\nA,1,"2,90\nA,1,3,180\n`,
      'Row 3 opens a quote that is never closed',
    ],
    [
      'a column name that goes on behind its quote, so that the rows would be read as part of it',
      `${header},"note\nA,1,1,0\nA,1,2,"90\nA,1,3,180\n`,
      'The header has a column name that goes on behind its closing quote',
    ],
    ['Parquet cut short', 'PAR1 and some pages', 'This Parquet file is cut short'],
  ])('%s', async (_, content, says) => {
    expect(await reasonOf('a file', content)).toContain(says);
  });

  it('takes a header without rows, and says so', async () => {
    expect(await inspect(textFile('closures.csv', `${header}\n`))).toMatchObject({
      ok: true,
      note: 'The file has a header and no rows.',
    });
  });

  it('takes a byte order mark, capitals and spaces in the header', async () => {
    expect(await inspect(textFile('x.csv', '\ufeffJob_ID, Run,ELEMENT,cam_deg\nA,1,1,0\n'))).toMatchObject({
      ok: true,
      table: 'closures',
    });
  });

  it('names columns that no table has', async () => {
    expect(await inspect(textFile('x.csv', `${header},weather\nA,1,1,0,rain\n`))).toMatchObject({
      note: 'Column not used: weather.',
    });
  });

  it('finds the blank rows between others, and none inside a quoted cell', async () => {
    const text = `${header},instrument_id\r\nA,1,1,0,"two\r\n\r\nlines"\r\n\r\nA,1,2,90,\r\n\r\n`;
    expect(await inspect(textFile('x.csv', text))).toMatchObject({ blankRows: [3, 5] });
  });
});

describe('a file that is gone when it is read', () => {
  it('is refused, whichever way the reader words it', async () => {
    for (const name of ['NotReadableError', 'NotFoundError']) {
      const blob = new Blob([`${header}\nA,1,1,0\n`]);
      blob.slice = () => {
        throw new DOMException('The requested file could not be read', name);
      };
      const found = await inspect({ name: 'moved.csv', blob, path: null });
      expect(found).toMatchObject({
        ok: false,
        reason: expect.stringContaining('changed, moved or removed') as string,
      });
    }
  });
});
