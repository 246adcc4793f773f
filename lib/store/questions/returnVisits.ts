/** Text of a list in an answer: numbers apart by blanks, names apart by a sign that no name holds. */
export const numbersOf = (list: string | null): number[] =>
  list === null || list === '' ? [] : list.split(' ').map(Number);
export const namesOf = (list: string | null): string[] => (list === null ? [] : list.split('\u001f'));
/** An expression of text, all of it in one cell in the order of another; `namesOf` takes it apart. */
export const namesIn = (expression: string, order: string): string =>
  `string_agg(${expression}, chr(31) order by ${order})`;
export const numbersIn = (expression: string, order: string): string =>
  `string_agg((${expression})::varchar, ' ' order by ${order})`;

/**
 * What became of the picked jobs once they had left: each with the next job of the same serial number, whatever the filters say of
 * that one, and the days between. A pump that is still out is watched up to the last day on which the log has a pump coming in.
 * A job leaves on the day it was finished, or came in where no such day is written; one that leaves after the log's last day is not told.
 * Jobs of a round of the benches are no visits, and are left out.
 */
export const WATCHED = `log_end as (select max(received_on) as last_day from job_cards),
watched as (
  select p.job_no, p.pump_model, p.work_type, p.out_on, p.next_no, p.next_on, e.last_day,
    greatest(coalesce(p.next_on, e.last_day) - p.out_on, 0)::integer as days, (p.next_no is not null)::integer as back
  from picked p cross join log_end e
  where not p.in_round and (p.next_no is not null or p.out_on <= e.last_day)
)`;

/** Of the watched jobs those back within $6 months of leaving. */
export const EARLY = `early as (select * from watched where back = 1 and next_on <= out_on + to_months(cast($6::varchar as integer)))`;
