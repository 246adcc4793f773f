import { realColumn, wholeColumn, type NumberColumns } from '../stats/numberColumns';

/** The log as the search takes it in: columns of numbers, and the names that stand behind them. */

/** Columns of text whose names are numbered from 0; -1 stands for an empty cell. */
export const namedColumns = [
  'model',
  'work',
  'complaint',
  'bench',
  'branch',
  'technician',
  'batch',
  'gauge',
  'currency',
] as const;
export type NamedColumn = (typeof namedColumns)[number];
export type Names = Readonly<Record<NamedColumn, readonly string[]>>;

export interface Jobs {
  readonly job_no: Int32Array;
  /** Received, in days from 1970-01-01. */
  readonly day: Int32Array;
  /** Number of the pump, from 0 or 1 without gaps. */
  readonly serial: Int32Array;
  readonly model: Int32Array;
  readonly work: Int32Array;
  readonly complaint: Int32Array;
  readonly bench: Int32Array;
  readonly branch: Int32Array;
  readonly technician: Int32Array;
  /** The graduates that the delivery as received was read with. */
  readonly gauge: Int32Array;
  /** The batch that most of its shims are of. */
  readonly batch: Int32Array;
  /** Whether run 1 was out: 1 yes, 0 no, -1 where the job does not tell. */
  readonly timing_fails: Int32Array;
  readonly point_fails: Int32Array;
  readonly governor_fails: Int32Array;
  /** Back early; told by jobs whose whole time to return lies within the log. */
  readonly returns: Int32Array;
  /** Told by jobs in which a stack was changed after a run from 1 on that was out. */
  readonly wrong_way: Int32Array;
  readonly superseded: Int32Array;
  /** Mean delivery at the base point in run 0 against the middle of its band [percent]. */
  readonly delivery_percent: Float64Array;
  /** Bench and labour [h]. */
  readonly bench_hours: Float64Array;
  readonly labour_hours: Float64Array;
  /** Parts as the card states them, in its currency. */
  readonly parts_cost: Float64Array;
  readonly currency: Int32Array;
}

/** One element in the first run in which its job was measured. */
export interface Elements {
  /** Place of the job in `Jobs`. */
  readonly job: Int32Array;
  readonly element: Int32Array;
  /** Phase error [deg]; positive closes late. */
  readonly error_deg: Float64Array;
}

/** One element's retention as received against its baseline. */
export interface Retentions {
  readonly job: Int32Array;
  readonly element: Int32Array;
  /** 1 - retention / baseline. */
  readonly deficit: Float64Array;
}

/** One change of a stack that was measured before and after. */
export interface Changes {
  readonly job: Int32Array;
  readonly element: Int32Array;
  readonly batch: Int32Array;
  /** Lift that closure moved by, less the change that was made [mm]; positive for a stack that does more than is marked. */
  readonly excess_mm: Float64Array;
}

/** One gauge that was used in one job. */
export interface Uses {
  readonly job: Int32Array;
  readonly gauge: Int32Array;
  /** 1 where it was past its date, else 0. */
  readonly past: Int32Array;
}

export interface History {
  readonly names: Names;
  readonly jobs: Jobs;
  readonly elements: Elements;
  readonly retentions: Retentions;
  readonly changes: Changes;
  readonly uses: Uses;
}

export const historyParts = ['jobs', 'elements', 'retentions', 'changes', 'uses'] as const;
export type HistoryPart = (typeof historyParts)[number];

/** Takes the database's answers for a history; throws where a column is missing. The parts name jobs by number. */
export function historyOf(parts: Readonly<Record<HistoryPart, NumberColumns>>, names: Names): History {
  const { jobs, elements, retentions, changes, uses } = parts;
  const job_no = wholeColumn(jobs, 'job_no');
  const place = new Map(Array.from(job_no, (job, i) => [job, i]));
  const placed = (table: NumberColumns) => wholeColumn(table, 'job_no').map((job) => place.get(job) ?? -1);
  return {
    names,
    jobs: {
      job_no,
      day: wholeColumn(jobs, 'day'),
      serial: wholeColumn(jobs, 'serial'),
      model: wholeColumn(jobs, 'model'),
      work: wholeColumn(jobs, 'work'),
      complaint: wholeColumn(jobs, 'complaint'),
      bench: wholeColumn(jobs, 'bench'),
      branch: wholeColumn(jobs, 'branch'),
      technician: wholeColumn(jobs, 'technician'),
      gauge: wholeColumn(jobs, 'gauge'),
      batch: wholeColumn(jobs, 'batch'),
      timing_fails: wholeColumn(jobs, 'timing_fails'),
      point_fails: wholeColumn(jobs, 'point_fails'),
      governor_fails: wholeColumn(jobs, 'governor_fails'),
      returns: wholeColumn(jobs, 'returns'),
      wrong_way: wholeColumn(jobs, 'wrong_way'),
      superseded: wholeColumn(jobs, 'superseded'),
      delivery_percent: realColumn(jobs, 'delivery_percent'),
      bench_hours: realColumn(jobs, 'bench_hours'),
      labour_hours: realColumn(jobs, 'labour_hours'),
      parts_cost: realColumn(jobs, 'parts_cost'),
      currency: wholeColumn(jobs, 'currency'),
    },
    elements: {
      job: placed(elements),
      element: wholeColumn(elements, 'element'),
      error_deg: realColumn(elements, 'error_deg'),
    },
    retentions: {
      job: placed(retentions),
      element: wholeColumn(retentions, 'element'),
      deficit: realColumn(retentions, 'deficit'),
    },
    changes: {
      job: placed(changes),
      element: wholeColumn(changes, 'element'),
      batch: wholeColumn(changes, 'batch'),
      excess_mm: realColumn(changes, 'excess_mm'),
    },
    uses: { job: placed(uses), gauge: wholeColumn(uses, 'gauge'), past: wholeColumn(uses, 'past') },
  };
}
