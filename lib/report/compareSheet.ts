/** Where a saved sheet differs from the one that its record gives, in words. Both are texts of one element a line. */

const entities: Readonly<Record<string, string>> = {
  '&amp;': '&',
  '&lt;': '<',
  '&gt;': '>',
  '&quot;': '"',
  '&#39;': "'",
};
/** What a person sees of a line. */
const seen = (line: string): string =>
  line
    .replace(/<[^>]*>/g, '')
    .replace(/&(?:amp|lt|gt|quot|#39);/g, (entity) => entities[entity] ?? entity)
    .trim();

const LONGEST = 120;
const quoted = (line: string): string => {
  const words = seen(line);
  return words === '' ? 'nothing' : `“${words.length > LONGEST ? `${words.slice(0, LONGEST)} …` : words}”`;
};

const linesOf = (text: string): string[] => text.split(/\r\n|\n|\r/);
const isCell = (line: string): boolean => /^<t[dh][ >]/.test(line);

/** Where a line stands on the sheet: its heading or table, and of a cell its row and column. */
function whereabouts(lines: readonly string[], at: number): string {
  const before = lines.slice(0, at + 1);
  const headed = before.findLastIndex((line) => /^<(caption|h1|h2)[ >]/.test(line));
  const heading = headed < 0 ? 'the head of the file' : seen(lines[headed] ?? '');
  const row = before.findLastIndex((line) => line.startsWith('<tr>'));
  if (!isCell(lines[at] ?? '') || row < headed) {
    const term = before.findLastIndex((line) => line.startsWith('<dt>'));
    const isFact = (lines[at] ?? '').startsWith('<dd') && term > headed;
    return isFact ? `${heading}, ${seen(lines[term] ?? '')}` : heading;
  }
  const cells = lines.slice(row + 1, at).filter(isCell);
  const heads = lines.slice(headed, row).filter((line) => /^<th[ >]/.test(line));
  const name = seen(heads[cells.length] ?? '');
  const first = cells.slice(0, NAMING).map(seen).join(', ');
  return `${heading}${first === '' ? '' : `, row ${first}`}${name === '' ? '' : `, ${name}`}`;
}
/** So many cells at the beginning of a row tell which it is. */
const NAMING = 4;

export interface SheetDifferences {
  /** The first of them, a sentence each. */
  readonly says: readonly string[];
  readonly more: number;
}

const MOST = 20;

/** Null where both are the same, mark by mark. */
export function compareSheets(file: string, rendered: string): SheetDifferences | null {
  if (file === rendered) return null;
  const [found, given] = [linesOf(file), linesOf(rendered)];
  let start = 0;
  while (start < Math.min(found.length, given.length) && found[start] === given[start]) start += 1;
  if (start === found.length && start === given.length) {
    return { says: ['Only the ends of lines differ, as when a file is sent as text.'], more: 0 };
  }
  let tail = 0;
  const room = Math.min(found.length, given.length) - start;
  while (tail < room && found[found.length - 1 - tail] === given[given.length - 1 - tail]) tail += 1;
  const [foundPart, givenPart] = [found.slice(start, found.length - tail), given.slice(start, given.length - tail)];
  if (foundPart.length !== givenPart.length) {
    const word = foundPart.length < givenPart.length ? 'lacks' : 'has, against the record,';
    const lines = Math.abs(foundPart.length - givenPart.length);
    const says = `From line ${start + 1} on (${whereabouts(given, Math.min(start, given.length - 1))}): the file ${word} ${lines} ${lines === 1 ? 'line' : 'lines'}. It shows ${quoted(found[start] ?? '')}, the record gives ${quoted(given[start] ?? '')}.`;
    return { says: [says], more: 0 };
  }
  const differing = givenPart.flatMap((line, i) => (line === foundPart[i] ? [] : [i]));
  return {
    says: differing.slice(0, MOST).map((i) => lineSays(found, given, start + i)),
    more: Math.max(0, differing.length - MOST),
  };
}

function lineSays(found: readonly string[], given: readonly string[], at: number): string {
  const [one, other] = [found[at] ?? '', given[at] ?? ''];
  const place = `Line ${at + 1} (${whereabouts(given, at)})`;
  if (other.startsWith('<script')) return `${place}: the data that the file carries are written otherwise.`;
  if (seen(one) === seen(other)) return `${place}: the words are the same, the marks around them are not.`;
  return `${place}: the sheet shows ${quoted(one)}, the record gives ${quoted(other)}.`;
}
