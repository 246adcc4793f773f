/** The log as the search takes it in: columns of numbers, and the names that stand behind them. */

/** Whole numbers as Int32Array, readings as Float64Array; columns of a table are equally long. */
export type NumberColumns = Readonly<Record<string, Int32Array | Float64Array>>;

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

function whole(table: NumberColumns, name: string): Int32Array {
  const column = table[name];
  if (!(column instanceof Int32Array)) throw new TypeError(`Column ${name} is not a column of whole numbers`);
  return column;
}

function real(table: NumberColumns, name: string): Float64Array {
  const column = table[name];
  if (!(column instanceof Float64Array)) throw new TypeError(`Column ${name} is not a column of real numbers`);
  return column;
}

/** Takes the database's answers for a history; throws where a column is missing. The parts name jobs by number. */
export function historyOf(parts: Readonly<Record<HistoryPart, NumberColumns>>, names: Names): History {
  const { jobs, elements, retentions, changes, uses } = parts;
  const job_no = whole(jobs, 'job_no');
  const place = new Map(Array.from(job_no, (job, i) => [job, i]));
  const placed = (table: NumberColumns) => whole(table, 'job_no').map((job) => place.get(job) ?? -1);
  return {
    names,
    jobs: {
      job_no,
      day: whole(jobs, 'day'),
      serial: whole(jobs, 'serial'),
      model: whole(jobs, 'model'),
      work: whole(jobs, 'work'),
      complaint: whole(jobs, 'complaint'),
      bench: whole(jobs, 'bench'),
      branch: whole(jobs, 'branch'),
      technician: whole(jobs, 'technician'),
      gauge: whole(jobs, 'gauge'),
      batch: whole(jobs, 'batch'),
      timing_fails: whole(jobs, 'timing_fails'),
      point_fails: whole(jobs, 'point_fails'),
      governor_fails: whole(jobs, 'governor_fails'),
      returns: whole(jobs, 'returns'),
      wrong_way: whole(jobs, 'wrong_way'),
      superseded: whole(jobs, 'superseded'),
      delivery_percent: real(jobs, 'delivery_percent'),
      bench_hours: real(jobs, 'bench_hours'),
      labour_hours: real(jobs, 'labour_hours'),
      parts_cost: real(jobs, 'parts_cost'),
      currency: whole(jobs, 'currency'),
    },
    elements: {
      job: placed(elements),
      element: whole(elements, 'element'),
      error_deg: real(elements, 'error_deg'),
    },
    retentions: {
      job: placed(retentions),
      element: whole(retentions, 'element'),
      deficit: real(retentions, 'deficit'),
    },
    changes: {
      job: placed(changes),
      element: whole(changes, 'element'),
      batch: whole(changes, 'batch'),
      excess_mm: real(changes, 'excess_mm'),
    },
    uses: { job: placed(uses), gauge: whole(uses, 'gauge'), past: whole(uses, 'past') },
  };
}
