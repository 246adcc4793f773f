import { getDocument, OPS } from 'pdfjs-dist/legacy/build/pdf.mjs';

/** What a printed file says, read from the file itself, page by page. */

export interface PdfPage {
  /** In points, as the page's MediaBox has it. */
  readonly width: number;
  readonly height: number;
  /** All that is written on it in the order it was set, without the room between words. */
  readonly text: string;
  /** Colours of letters and lines as `r,g,b`, each once. */
  readonly colours: readonly string[];
  /** Pictures and shades, which a printer may show in colours that are not listed. */
  readonly pictures: number;
}

/** Letters alone: where a line ends, and with it the room between words, is a matter of the paper. */
export const lettersOf = (text: string): string => text.normalize('NFKC').replace(/\s+/g, '');

const COLOURING: ReadonlySet<number> = new Set([OPS.setFillRGBColor, OPS.setStrokeRGBColor]);
const PICTURES: ReadonlySet<number> = new Set([
  ...[OPS.paintImageXObject, OPS.paintInlineImageXObject, OPS.paintImageMaskXObject, OPS.shadingFill],
  ...[OPS.setFillColorN, OPS.setStrokeColorN],
]);

export async function readPdf(bytes: Uint8Array): Promise<readonly PdfPage[]> {
  const task = getDocument({ data: new Uint8Array(bytes), useSystemFonts: false, verbosity: 0 });
  const file = await task.promise;
  const pages: PdfPage[] = [];
  for (let n = 1; n <= file.numPages; n++) {
    const page = await file.getPage(n);
    const [left = 0, bottom = 0, right = 0, top = 0] = page.view;
    const { items } = await page.getTextContent();
    const { fnArray, argsArray } = await page.getOperatorList();
    const colours = fnArray.flatMap((operator, k) =>
      COLOURING.has(operator) ? [Array.from(argsArray[k] as ArrayLike<number>).join(',')] : [],
    );
    pages.push({
      width: right - left,
      height: top - bottom,
      text: lettersOf(items.map((item) => ('str' in item ? item.str : '')).join('')),
      colours: [...new Set(colours)],
      pictures: fnArray.filter((operator) => PICTURES.has(operator)).length,
    });
  }
  await task.destroy();
  return pages;
}

/** A table as the sheet has it. */
export interface PrintedTable {
  readonly caption: string;
  readonly head: string;
  readonly rows: readonly string[];
}

/** The pages on which a table stands whole, from caption to last row. */
export const pagesWith = (pages: readonly PdfPage[], { caption, head, rows }: PrintedTable): readonly number[] => {
  const whole = lettersOf([caption, head, ...rows].join(''));
  return pages.flatMap(({ text }, k) => (text.includes(whole) ? [k + 1] : []));
};

/**
 * What is wrong with a table that runs over several pages: it begins with its caption, head and first row, each row stands whole on its
 * page below the one before, and the first of each further page below the head again. Null where nothing is.
 */
export function runsWrong(pages: readonly PdfPage[], { caption, head, rows }: PrintedTable): string | null {
  const [first = '', ...others] = rows.map(lettersOf);
  const heading = lettersOf(head);
  const opening = lettersOf(caption) + heading + first;
  let page = pages.findIndex(({ text }) => text.includes(opening));
  if (page < 0) return `${caption}: no page has its caption, head and first row together`;
  let at = (pages[page]?.text.indexOf(opening) ?? 0) + opening.length;
  for (const [k, row] of others.entries()) {
    if (pages[page]?.text.startsWith(row, at) !== true) {
      page += 1;
      at = pages[page]?.text.indexOf(heading + row) ?? -1;
      if (at < 0) return `${caption}: row ${k + 2} is neither below row ${k + 1} nor below the head of the next page`;
      at += heading.length;
    }
    at += row.length;
  }
  return null;
}
