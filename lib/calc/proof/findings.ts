import { int, type GrowingResults } from '../columns';
import { code, codes } from '../layout';

export type FindingWord = (typeof codes.finding)[number];
export type Severity = (typeof codes.severity)[number];

/** What a finding means and how bad it is, as pages and docs tell it. Ours; the rules behind are in docs/method.md. */
export const findingFacts: Readonly<Record<FindingWord, { readonly severity: Severity; readonly says: string }>> = {
  'shim change stated with the wrong sign': {
    severity: 'weakens the proof',
    says: 'The change written on the card has the opposite sign of the stacks before and after.',
  },
  'shim changed the wrong way': {
    severity: 'weakens the proof',
    says: 'After assembly the element was out of tolerance, and its stack was changed in the direction that adds to the error.',
  },
  'shim change misreckoned': {
    severity: 'weakens the proof',
    says: 'The change written on the card is not the difference of the stacks before and after.',
  },
  'delivery misreckoned': {
    severity: 'weakens the proof',
    says: 'The delivery written on the card is not what volume and strokes give.',
  },
  'stated pass, recomputed out': {
    severity: 'breaks the proof',
    says: 'The card says pass, but the last readings are out of the specification.',
  },
  'stated fail, recomputed in': {
    severity: 'for information',
    says: 'The card says fail, but the last readings are in.',
  },
  'superseded revision': {
    severity: 'breaks the proof',
    says: 'The job was worked to a revision that a newer one had replaced before the pump came in.',
  },
  'gauge past its date': {
    severity: 'breaks the proof',
    says: 'Readings were taken with a gauge whose calibration had run out.',
  },
  'gauge without calibration': {
    severity: 'breaks the proof',
    says: 'Readings were taken with a gauge that had no calibration yet on that day.',
  },
  'draw before the rack was set': {
    severity: 'weakens the proof',
    says: 'Draws were taken with the rack outside its window; they do not count.',
  },
  'speed outside its window': {
    severity: 'weakens the proof',
    says: 'Draws were taken with the speed outside its window; they do not count.',
  },
  'fluid outside its window': {
    severity: 'weakens the proof',
    says: 'Draws were taken with the fluid outside its temperature window; they do not count.',
  },
  'feed outside its window': {
    severity: 'weakens the proof',
    says: 'Draws were taken with the feed pressure outside its window; they do not count.',
  },
  'window not recorded': {
    severity: 'for information',
    says: 'The specification asks for a window, but the reading for it was not written down.',
  },
  'test points out of order': {
    severity: 'weakens the proof',
    says: 'A test point was drawn before one that comes earlier in the order of work.',
  },
  'runs out of order': {
    severity: 'weakens the proof',
    says: 'A test point was drawn in a later run before it was drawn in an earlier one, by the times written down.',
  },
  'shim changed after the last closure': {
    severity: 'breaks the proof',
    says: 'A stack was changed and the closures were not measured again.',
  },
  'barrel turned after the last draw': {
    severity: 'breaks the proof',
    says: 'An element was turned and the base test point was not drawn again.',
  },
  'shim changed after the last draw': {
    severity: 'breaks the proof',
    says: 'A stack was changed and the base test point, drawn as received only, was not drawn again; the change moves the whole stroke on the cam.',
  },
  'split pair found uneven': {
    severity: 'for information',
    says: 'The halves of a split pair were found to differ by more than 0.01 mm. The barrel sat cocked: make both halves alike, then measure the closures again.',
  },
  'split pair differs': {
    severity: 'weakens the proof',
    says: 'The halves of a split pair were left differing by more than 0.01 mm, which cocks the barrel: make both halves alike, then measure the closures again.',
  },
  'lift not read': {
    severity: 'breaks the proof',
    says: 'The lift to port closure of the reference was not read in the last measurement.',
  },
  'element missing': { severity: 'breaks the proof', says: 'The last measurement lacks elements.' },
  'test point missing': {
    severity: 'breaks the proof',
    says: 'A test point of the specification was never measured.',
  },
  'timing and phasing missing': { severity: 'breaks the proof', says: 'The closures were never measured.' },
  'governor missing': { severity: 'breaks the proof', says: 'The governor and its accessories were never checked.' },
  'first measurement missing': {
    severity: 'for information',
    says: 'The stage has later measurements but no first one after assembly, so first pass cannot be told.',
  },
};

const severities = codes.finding.map((word) => code('severity', findingFacts[word].severity));
const BREAKS = code('severity', 'breaks the proof');
const WEAKENS = code('severity', 'weakens the proof');

/** Of a figure on a card no more than three decimals are told. */
const FINEST_UNIT = 0.001;

/** Few jobs have more; the columns grow where one does. */
const FIRST_CAPACITY = 64;

function grown(column: Int32Array): Int32Array;
function grown(column: Float64Array): Float64Array;
function grown(column: Int32Array | Float64Array): Int32Array | Float64Array {
  const next = column instanceof Int32Array ? new Int32Array(2 * column.length) : new Float64Array(2 * column.length);
  next.set(column);
  return next;
}

/**
 * Whether a figure on the card is the recomputed one, rounded: it may differ by half a unit of its own last decimal (up to
 * three are told), and by a hair for binary arithmetic. True where either is not known.
 * @param coarsest last decimal that such figures are written to at least, so that a 0.1 that was 0.10 is not taken for rounded
 *   to tenths: 1, 0.1, 0.01 or 0.001
 */
export function agrees(stated: number, recomputed: number, coarsest = 1): boolean {
  if (Number.isNaN(stated) || Number.isNaN(recomputed)) return true;
  let unit = coarsest;
  while (unit > 1.5 * FINEST_UNIT && Math.abs(stated / unit - Math.round(stated / unit)) > 1e-6) unit /= 10;
  return Math.abs(stated - recomputed) <= unit / 2 + 1e-6;
}

/** What does not agree in one job: noted while it is worked out, written at its end. Used again for every job. */
export class FindingLog {
  /** Findings of the job last written that break, and that weaken, the proof of it. */
  breaking = 0;
  weakening = 0;

  private length = 0;
  private finding: Int32Array = new Int32Array(FIRST_CAPACITY);
  private run: Int32Array = new Int32Array(FIRST_CAPACITY);
  private point: Int32Array = new Int32Array(FIRST_CAPACITY);
  private element: Int32Array = new Int32Array(FIRST_CAPACITY);
  private rows: Int32Array = new Int32Array(FIRST_CAPACITY);
  private stated: Float64Array = new Float64Array(FIRST_CAPACITY);
  private recomputed: Float64Array = new Float64Array(FIRST_CAPACITY);

  constructor(private readonly out: GrowingResults) {}

  reset(): void {
    this.length = 0;
    this.breaking = 0;
    this.weakening = 0;
  }

  /**
   * One row of the log that does not agree. Rows of one finding at one run, test point and element count together; the
   * figures are those of the first.
   */
  note(finding: number, run: number, point: number, element: number, stated: number, recomputed: number): void {
    // From the last one backwards: rows of one place stand together in the log.
    for (let k = this.length - 1; k >= 0; k--) {
      const same =
        this.finding[k] === finding && this.run[k] === run && this.point[k] === point && this.element[k] === element;
      if (same) {
        this.rows[k] = int(this.rows, k) + 1;
        return;
      }
    }
    if (this.length === this.finding.length) this.grow();
    const at = this.length++;
    this.finding[at] = finding;
    this.run[at] = run;
    this.point[at] = point;
    this.element[at] = element;
    this.rows[at] = 1;
    this.stated[at] = stated;
    this.recomputed[at] = recomputed;
    const severity = severities[finding];
    if (severity === BREAKS) this.breaking++;
    if (severity === WEAKENS) this.weakening++;
  }

  private grow(): void {
    this.finding = grown(this.finding);
    this.run = grown(this.run);
    this.point = grown(this.point);
    this.element = grown(this.element);
    this.rows = grown(this.rows);
    this.stated = grown(this.stated);
    this.recomputed = grown(this.recomputed);
  }

  write(job: number): void {
    for (let k = 0; k < this.length; k++) {
      const finding = int(this.finding, k);
      const row = this.out.findings.newRow();
      const columns = this.out.findings.columns;
      columns.job_no[row] = job;
      columns.finding[row] = finding;
      columns.severity[row] = severities[finding] ?? 0;
      columns.run[row] = int(this.run, k);
      columns.point[row] = int(this.point, k);
      columns.element[row] = int(this.element, k);
      columns.stated[row] = this.stated[k] ?? NaN;
      columns.recomputed[row] = this.recomputed[k] ?? NaN;
      columns.rows[row] = int(this.rows, k);
    }
  }
}
