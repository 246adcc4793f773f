import type { Part, SqlValue } from './question';

/** What every page can be narrowed by; null means all. Days are yyyy-mm-dd, both ends included, by the day received. */
export interface Filters {
  readonly from: string | null;
  readonly to: string | null;
  readonly model: string | null;
  readonly work: string | null;
  readonly bench: string | null;
}

/** All jobs of the log. */
export const UNFILTERED: Filters = { from: null, to: null, model: null, work: null, bench: null };

/**
 * What a question is narrowed to, as its placeholder's text: empty for all. Null would be of another type than the text that the
 * statement is planned for, and the database plans a statement anew, as long as it takes to answer it, whenever a type changes.
 */
export const narrowed = (to: string | number | null | undefined): string => (to ?? '').toString();

/** The filters as $1 to $5; a question's own values follow from $6. */
export const filterValues = (f: Filters): readonly SqlValue[] => [f.from, f.to, f.model, f.work, f.bench].map(narrowed);

const MODEL_AT = 2;

/** For questions whose rows each tell of the picked jobs of one model, and of no other jobs: one model's are among those of all. */
export function ofOneModel<Row extends { readonly pump_model: string }>(values: readonly SqlValue[]): Part<Row> | null {
  const model = values[MODEL_AT];
  if (model === '') return null;
  return { whole: values.with(MODEL_AT, ''), holds: (row) => row.pump_model === model };
}

/** The jobs that the filters let through, to open a question with: `with ${PICKED_JOBS}, ... select ... from picked`. */
export const PICKED_JOBS = `picked as (
  select * from job_cards
  where ($1::varchar = '' or received_on >= cast(nullif($1::varchar, '') as date))
    and ($2::varchar = '' or received_on <= cast(nullif($2::varchar, '') as date))
    and ($3::varchar = '' or pump_model = $3::varchar)
    and ($4::varchar = '' or work_type = $4::varchar)
    and ($5::varchar = '' or bench_id = $5::varchar)
)`;
