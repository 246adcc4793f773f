import type { TrendSeries, TrendSplit } from '../../lib/store/questions/trendPeriods';
import type { TrendKind } from '../../lib/store/trends';
import type { Unit } from '../../lib/units/units';
import { percent, type Writer } from '../../lib/words/figures';
import { logLabel, terms, type Label } from '../../lib/words/labels';

/** How one series is told: its name, its figures and what they are. */
export interface SeriesWords {
  readonly label: Label;
  readonly kind: TrendKind;
  /** Title of the axis, scale and figures. */
  readonly axis: (write: Writer) => string;
  readonly scale: (write: Writer) => (value: number) => number;
  readonly write: (write: Writer) => (value: number) => string;
  /** What a job must have to count. */
  readonly counts: string;
  readonly method: string;
  /** Whether a value below 0 can be. */
  readonly signed: boolean;
}

const ofUnit = (text: string, unit: Unit) => ({
  axis: (write: Writer) => write.axis(text, unit),
  scale: (write: Writer) => write.scale(unit),
  write: (write: Writer) => (value: number) => write.figure(value, unit),
});
const ofShare = (text: string, decimals: number) => ({
  axis: (write: Writer) => write.axis(text, 'percent'),
  scale: () => (value: number) => 100 * value,
  write: () => (value: number) => percent(value, decimals),
});

export const seriesWords: Readonly<Record<TrendSeries, SeriesWords>> = {
  'first-pass': {
    label: terms.firstPass,
    kind: 'share',
    ...ofShare('First pass, of counted jobs', 0),
    counts: 'jobs with a complete first measurement after assembly',
    method: 'Share of the counted jobs in which all that was asked for was in at run 1.',
    signed: false,
  },
  shims: {
    label: terms.shimsMoved,
    kind: 'mean',
    ...ofUnit('Shim change a job, mean', 'shim'),
    counts: 'jobs whose stacks are written down',
    method: 'What was added and taken in a job, without its sign, over all elements and runs; the mean of the jobs.',
    signed: false,
  },
  retention: {
    label: terms.retentionDeficit,
    kind: 'median',
    ...ofShare('Retention deficit, median', 1),
    counts: 'jobs with low-speed retention as received and a baseline',
    method:
      'Run 0: the mean deficit of the elements of a job; the median of the jobs. Baselines stand on the Wear page.',
    signed: true,
  },
  scatter: {
    label: terms.lightScatter,
    kind: 'median',
    ...ofUnit('Light-draw scatter, median', 'percent'),
    counts: 'jobs drawn as received at a light test point',
    method: 'Run 0: standard deviation over the elements in percent of their mean; the median of the jobs.',
    signed: false,
  },
  phasing: {
    label: terms.phaseSpread,
    kind: 'median',
    ...ofUnit('Phase error spread, median', 'cam_deg'),
    counts: 'jobs with phase errors as received',
    method: 'Run 0: the latest element less the earliest; the median of the jobs.',
    signed: false,
  },
  hours: {
    label: logLabel('jobs', 'bench_hours'),
    kind: 'mean',
    ...ofUnit('Bench hours a job, mean', 'hours'),
    counts: 'jobs with their bench hours written down',
    method: 'The mean of the jobs.',
    signed: false,
  },
};

/** The same of one element, where a series can be told apart by element. */
const elementWords: Partial<Readonly<Record<TrendSeries, SeriesWords>>> = {
  shims: {
    ...seriesWords.shims,
    label: terms.elementShimsMoved,
    ...ofUnit('Shim change of an element, mean', 'shim'),
    counts: 'jobs with the stack of the element written down',
    method: 'What was added and taken at the element in a job, without its sign, over all runs; the mean of the jobs.',
  },
  retention: {
    ...seriesWords.retention,
    counts: 'jobs with low-speed retention of the element as received and a baseline',
    method: 'Run 0: the deficit of the element; the median of the jobs. Baselines stand on the Wear page.',
  },
  phasing: {
    ...seriesWords.phasing,
    label: terms.elementPhaseError,
    ...ofUnit('Phase error, + is late, median', 'cam_deg'),
    counts: 'jobs with the phase error of the element as received',
    method: 'Run 0: the phase error of the element; the median of the jobs. The reference is left out: its error is 0.',
    signed: true,
  },
};

/** How a series is told when it is told apart so. */
export const wordsOf = ({ series, split }: { readonly series: TrendSeries; readonly split: TrendSplit }): SeriesWords =>
  (split === 'element' ? elementWords[series] : undefined) ?? seriesWords[series];
