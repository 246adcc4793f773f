'use client';

import { useState, type ReactElement } from 'react';
import type { BackTest } from '../../lib/quote/types';
import { conditionsOf } from '../../lib/report/quote/quoteConditions';
import { quoteJson, type QuoteDocument } from '../../lib/report/quote/quoteDocument';
import {
  documentOf,
  draftOf,
  draftSums,
  FRESH,
  linesOf,
  priceOfCost,
  type Draft,
} from '../../lib/report/quote/quoteDraft';
import { quoteFace } from '../../lib/report/quote/quoteFace';
import { quoteHtml } from '../../lib/report/quote/quoteHtml';
import { fromMinor } from '../../lib/report/quote/quoteSheet';
import type { Bench } from '../../lib/store/browser/bench';
import { filterChoices } from '../../lib/store/questions/filterChoices';
import { quoteChoices } from '../../lib/store/questions/quoteChoices';
import type { PriceQuestion, QuoteAnswer, QuoteChoices, QuoteQuestion } from '../../lib/store/quoteDesk';
import { localTime } from '../_log/incoming';
import { useAsk } from '../_log/useAsk';
import { useKeeping } from '../_log/useKeeping';
import { Note } from '../_shell/Notes';
import { fileName, save } from '../_shell/save';
import { useHourRate } from '../shims/hourRate';
import { AnswerSection } from './AnswerSection';
import { BackTestSection } from './BackTestSection';
import { CounterForm } from './CounterForm';
import { amounts } from './fields';
import { KeptQuotes } from './KeptQuotes';
import { Paper } from './Paper';
import { askedOf, useCounter } from './place';
import { PriceChoice } from './PriceChoice';
import { SheetEditor, SheetWords } from './SheetEditor';
import { useShopTerms } from './shopTerms';
import { Similar } from './Similar';
import { useDesk } from './useDesk';

const quote = (bench: Bench, question: QuoteQuestion) => bench.quote(question);
const quotePrice = (bench: Bench, question: PriceQuestion) => bench.quotePrice(question);
const quoteTest = (bench: Bench, choices: QuoteChoices): Promise<BackTest> => bench.quoteTest(choices);

interface PricedProps {
  readonly answer: QuoteAnswer;
  readonly question: QuoteQuestion;
  readonly serial: string | null;
  readonly draft: Draft;
  readonly currencies: readonly string[];
  readonly onDraft: (change: Partial<Draft>) => void;
}

function Saves({ document }: { document: QuoteDocument }): ReactElement {
  const { addQuote, pen, behind } = useKeeping();
  const [said, say] = useState<string | null>(null);
  const title = `quote ${document.number} ${document.asked.model} ${document.asked.serial ?? ''} ${document.on}`;
  return (
    <div className="row no-print">
      <button
        type="button"
        className="primary"
        onClick={() => {
          window.print();
        }}
      >
        Print
      </button>
      <button
        type="button"
        onClick={() => {
          const html = quoteHtml(quoteFace(document, amounts));
          save(new Blob([html], { type: 'text/html' }), fileName(title, 'html'));
        }}
      >
        Save as HTML
      </button>
      <button
        type="button"
        onClick={() => {
          save(new Blob([quoteJson(document)], { type: 'application/json' }), fileName(title, 'json'));
        }}
      >
        Save as JSON
      </button>
      <button
        type="button"
        disabled={!pen || behind}
        onClick={() => {
          void addQuote(document).then((kept) => {
            say(kept ? 'Kept; it is listed below.' : null);
          });
        }}
      >
        Keep this quote
      </button>
      <span role="status" className="quiet small">
        {said}
      </span>
    </div>
  );
}

/** The price, what it means, and the sheet. */
function Priced({ answer, question, serial, draft, currencies, onDraft }: PricedProps): ReactElement {
  const shop = useShopTerms();
  const { estimate } = answer;
  const { hourRate: rate } = question.choices;
  const currency = estimate.choices.currency ?? '';
  const sums = draftSums({ ...draft, lines: draft.lines ?? linesOf(estimate) }, shop, rate, currency);
  const priced = useDesk<PriceQuestion, Awaited<ReturnType<typeof quotePrice>>>(
    rate === null
      ? null
      : { ...question, price: fromMinor(sums.price, currency), chance: draft.chance, margin: shop.marginPercent / 100 },
    quotePrice,
  );
  const { low, high } = priced.value ?? { low: null, high: null };
  const range =
    low?.price == null || high?.price == null
      ? null
      : {
          low: priceOfCost(low.price, shop.marginPercent, currency),
          high: priceOfCost(high.price, shop.marginPercent, currency),
        };
  const asRange = draft.kind === 'range' && range !== null;
  const document = documentOf({
    ...{ draft, shop, estimate, serial, rate, range },
    on: question.choices.today,
    overrun: (asRange ? priced.value?.overrunHigh : priced.value?.overrun) ?? null,
  });
  const suggested = conditionsOf(estimate, shop.marginPercent, amounts).filter(
    ({ text }) => !draft.conditions.includes(text),
  );
  return (
    <>
      <section className="section no-print" aria-labelledby="quote-price">
        <h2 id="quote-price">The price</h2>
        <SheetEditor {...{ draft, shop, estimate, rate, currencies, onDraft }} />
        <PriceChoice {...{ draft, currency, rate, range, onDraft }} answer={priced.value} busy={priced.busy} />
        {priced.error === null ? null : <Note warm>This could not be worked out. {priced.error}</Note>}
        <h3>On the sheet</h3>
        <SheetWords {...{ draft, shop, suggested, onDraft }} />
      </section>
      <section className="section quote-sheet" aria-label="The quote's sheet">
        {rate === null ? (
          <Note>The sheet is there once an hour has its cost.</Note>
        ) : (
          <>
            <Saves document={document} />
            <Paper face={quoteFace(document, amounts)} />
          </>
        )}
      </section>
    </>
  );
}

const today = (): string => localTime(new Date()).slice(0, 10);

/** From what stands on the counter to the printed sheet. */
export function Quote(): ReactElement {
  const [counter, setCounter] = useCounter();
  const [on] = useState(today);
  const [drafts, setDrafts] = useState<Readonly<Record<string, Draft>>>({});
  const shop = useShopTerms();
  const typed = useHourRate();
  const { rows: picks } = useAsk(filterChoices, null);
  const { rows: choices } = useAsk(quoteChoices, null);
  const usualWork = (picks ?? []).filter(({ kind }) => kind === 'work').toSorted((a, b) => b.jobs - a.jobs)[0]?.value;
  const currencies = (choices ?? []).filter(({ kind }) => kind === 'currency').map(({ value }) => value);
  const currency = typed.currency === '' ? (currencies[0] ?? null) : typed.currency;
  const work = counter.job ?? usualWork ?? null;
  const asked = choices === null ? null : askedOf(counter, work);
  const chosen: QuoteChoices = {
    today: on,
    currency,
    hourRate: typed.perHour,
    partsIndexPerYear: shop.partsRise / 100,
  };
  const question: QuoteQuestion | null = asked === null ? null : { asked, choices: chosen };
  const told = useDesk<QuoteQuestion, QuoteAnswer>(question, quote);
  // After the answer: the worker does one thing at a time.
  const tested = useDesk<QuoteChoices, BackTest>(
    choices === null || (question !== null && told.value === null && told.error === null) ? null : chosen,
    quoteTest,
  );
  const key = JSON.stringify([counter.serial, asked]);
  const draft = drafts[key] ?? FRESH;
  const onDraft = (change: Partial<Draft>): void => {
    setDrafts((held) => ({ ...held, [key]: { ...(held[key] ?? FRESH), ...change } }));
  };
  const open = (kept: QuoteDocument): void => {
    const { asked: was } = kept;
    const back = {
      serial: was.serial,
      pump: was.model,
      job: was.work_type,
      complaint: was.complaint,
      hours: was.engine_hours,
      branch: was.branch,
      deficit: was.retention_deficit === null ? null : 100 * was.retention_deficit,
      leak: was.leak_slope,
      phase: was.phase_error_deg,
      scatter: was.scatter_percent,
    };
    setDrafts((held) => ({ ...held, [JSON.stringify([back.serial, askedOf(back, back.job)])]: draftOf(kept) }));
    void setCounter(back);
    window.scrollTo({ top: 0 });
  };
  return (
    <div className="page">
      <div className="stack no-print">
        <h1>Quote</h1>
        <CounterForm work={work} />
      </div>
      {question === null ? (
        <Note>Type the serial number, or choose a model: the hours, parts and days of such jobs follow.</Note>
      ) : told.error !== null ? (
        <Note warm>This could not be worked out. {told.error}</Note>
      ) : told.value === null ? (
        <p className="quiet" aria-busy="true">
          Reading past jobs …
        </p>
      ) : (
        <>
          <AnswerSection {...told.value} />
          <Similar similar={told.value.similar} currency={currency} />
          <Priced
            key={key}
            answer={told.value}
            question={question}
            serial={counter.serial}
            draft={draft}
            currencies={currencies}
            onDraft={onDraft}
          />
        </>
      )}
      <BackTestSection tested={tested} />
      <KeptQuotes onOpen={open} />
    </div>
  );
}
