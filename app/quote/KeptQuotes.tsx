'use client';

import Link from 'next/link';
import { useMemo, type ReactElement } from 'react';
import {
  COUNTER_DAYS,
  heldOf,
  outcomeOf,
  quotedJob,
  type Compared,
  type LaterJob,
  type Outcome,
} from '../../lib/report/quote/keptQuotes';
import { readQuote, sumsOf, validUntil, type QuoteDocument } from '../../lib/report/quote/quoteDocument';
import { fromMinor } from '../../lib/report/quote/quoteSheet';
import { laterJobs } from '../../lib/store/questions/laterJobs';
import { count, counted, day, NO_FIGURE, percentRange } from '../../lib/words/figures';
import { logLabel, quoteTerms } from '../../lib/words/labels';
import { figureOf } from '../../lib/words/quote';
import { useAsk } from '../_log/useAsk';
import { useKeeping } from '../_log/useKeeping';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useAddress } from '../_shell/useFilters';
import { amounts } from './fields';

interface Row {
  readonly no: number;
  readonly quote: QuoteDocument;
  readonly job: LaterJob | null;
  readonly outcome: Outcome | null;
}

const figures = [
  ['hours', 'labour'],
  ['parts', 'parts'],
  ['days', 'days'],
] as const;

function comparedWords(target: 'hours' | 'parts' | 'days', compared: Compared | null, currency: string): string {
  if (compared === null) return '';
  const took = figureOf(target, compared.took, currency, amounts);
  return `${took}, ${compared.within ? 'within' : compared.took > compared.high ? 'above' : 'below'}`;
}

function Became({ row }: { row: Row }): ReactElement {
  const to = useAddress();
  if (row.job === null) return <>{row.quote.asked.serial === null ? 'no serial number' : 'no job yet'}</>;
  const link = <Link href={to('/job/', { id: row.job.job_id })}>{row.job.job_id}</Link>;
  return (
    <>
      {link}
      {row.outcome === null ? ', still open' : ''}
    </>
  );
}

const endedWords = ({ outcome, quote }: Row): string => {
  if (outcome === null) return NO_FIGURE;
  const said = figures
    .map(([target]) => comparedWords(target, outcome[target], quote.currency))
    .filter((words) => words !== '');
  const over =
    outcome.over === null
      ? ''
      : `; ${amounts.about(Math.abs(outcome.over), quote.currency)} ${outcome.over > 0 ? 'lost' : 'left'}`;
  return said.length === 0 ? 'the card does not tell' : `${said.join('; ')}${over}`;
};

/** Of how many quotes the range held. */
function Calibration({ rows }: { rows: readonly Row[] }): ReactElement | null {
  const outcomes = rows.flatMap(({ outcome }) => outcome ?? []);
  if (outcomes.length === 0)
    return <p>None of their jobs is finished in this log yet; once one is, it is compared with its quote here.</p>;
  return (
    <>
      {figures.map(([target, name]) => {
        const { k, n, interval } = heldOf(outcomes, target);
        if (interval === null) return null;
        return (
          <p key={target}>
            Of {counted(n, 'kept quote')} whose {n === 1 ? 'job is' : 'jobs are'} finished, <strong>{count(k)}</strong>{' '}
            ended within the range by {name} ({percentRange(interval.low, interval.high)}; 80&nbsp;% was said).
          </p>
        );
      })}
    </>
  );
}

/** Whether quotes outlast the tab, as a sentence. */
function Where(): ReactElement {
  const { stored, loads } = useKeeping();
  return (
    <>
      {stored === false
        ? 'This browser gives no storage, so kept quotes are gone when this tab is closed: save them as files.'
        : loads.length > 0
          ? 'Quotes are kept with the log in this browser, and go into its archive.'
          : 'This log is not kept, so quotes are gone when this tab is closed: save them as files.'}
    </>
  );
}

/** Quotes that were kept, opened again, and compared with what their jobs took. */
export function KeptQuotes({ onOpen }: { onOpen: (quote: QuoteDocument) => void }): ReactElement {
  const { quotes, removeQuote, pen, behind } = useKeeping();
  const shut = !pen || behind;
  const read = useMemo(
    () =>
      quotes.flatMap(({ no, document }) => {
        const found = readQuote(document);
        return found.ok ? [{ no, quote: found.quote }] : [];
      }),
    [quotes],
  );
  const serials = useMemo(() => [...new Set(read.flatMap(({ quote }) => quote.asked.serial ?? []))], [read]);
  const { rows: jobs } = useAsk(laterJobs, { serials });
  const rows: readonly Row[] = read.toReversed().map(({ no, quote }) => {
    const job = quotedJob(quote, jobs ?? []);
    return { no, quote, job, outcome: job === null ? null : outcomeOf(quote, job) };
  });
  const lost = quotes.length - read.length;
  const name = ({ no, quote }: Row): string => (quote.number === '' ? `quote ${no}` : `quote ${quote.number}`);
  const columns: readonly SheetColumn<Row>[] = [
    {
      label: quoteTerms.quotedOn,
      cell: ({ quote }) => `${day(quote.on)}${quote.number === '' ? '' : `, ${quote.number}`}`,
    },
    { label: logLabel('jobs', 'pump_model'), cell: ({ quote }) => quote.asked.model },
    { label: logLabel('jobs', 'pump_serial'), cell: ({ quote }) => quote.asked.serial ?? NO_FIGURE },
    {
      label: quoteTerms.quotedPrice,
      cell: ({ quote }) =>
        amounts.money(
          fromMinor(quote.price.kind === 'range' ? quote.price.high : sumsOf(quote).price, quote.currency),
          quote.currency,
        ),
      number: true,
    },
    { label: { ...quoteTerms.quotedOn, text: 'valid until' }, cell: ({ quote }) => day(validUntil(quote)) },
    { label: quoteTerms.became, cell: (row) => <Became row={row} /> },
    { label: quoteTerms.endedWithin, cell: endedWords, prose: true },
    {
      label: { ...quoteTerms.quotedOn, text: 'open or remove' },
      cell: (row) => (
        <>
          <button
            type="button"
            className="plain"
            aria-label={`Open ${name(row)}`}
            onClick={() => {
              onOpen(row.quote);
            }}
          >
            open
          </button>
          <button
            type="button"
            className="plain"
            disabled={shut}
            aria-label={`Remove ${name(row)}`}
            onClick={() => {
              void removeQuote(row.no);
            }}
          >
            remove
          </button>
        </>
      ),
    },
  ];
  return (
    <section className="section no-print" aria-labelledby="quote-kept">
      <h2 id="quote-kept">Kept quotes</h2>
      <p className="quiet prose">
        <Where /> A quote is compared with the first job of its pump that came in at most {COUNTER_DAYS} days before it,
        or later.
      </p>
      {shut ? <Note>The log is open for writing in another tab; quotes are kept there.</Note> : null}
      {lost === 0 ? null : (
        <Note warm>{counted(lost, 'kept quote')} of another version can&apos;t be opened here.</Note>
      )}
      {rows.length === 0 ? null : (
        <>
          <Calibration rows={rows} />
          <Sheet
            caption="Kept quotes, newest first"
            hideCaption
            columns={columns}
            rows={rows}
            rowKey={({ no }) => String(no)}
            tall
          />
        </>
      )}
    </section>
  );
}
