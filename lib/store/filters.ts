import type { SqlValue } from './question';

/** What every page can be narrowed by; null means all. Days are yyyy-mm-dd, both ends included, by the day received. */
export interface Filters {
  readonly from: string | null;
  readonly to: string | null;
  readonly model: string | null;
  readonly work: string | null;
  readonly bench: string | null;
}

/** The filters as $1 to $5; a question's own values follow from $6. */
export const filterValues = (f: Filters): readonly SqlValue[] => [f.from, f.to, f.model, f.work, f.bench];

/** The jobs that the filters let through, to open a question with: `with ${PICKED_JOBS}, ... select ... from picked`. */
export const PICKED_JOBS = `picked as (
  select * from job_cards
  where ($1::varchar is null or received_on >= $1::varchar::date)
    and ($2::varchar is null or received_on <= $2::varchar::date)
    and ($3::varchar is null or pump_model = $3::varchar)
    and ($4::varchar is null or work_type = $4::varchar)
    and ($5::varchar is null or bench_id = $5::varchar)
)`;
