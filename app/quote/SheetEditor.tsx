'use client';

import type { ReactElement } from 'react';
import { hasOther, withSuggestion, type Suggestion } from '../../lib/report/quote/quoteConditions';
import { MOST_CONDITIONS, MOST_LETTERS } from '../../lib/report/quote/quoteDocument';
import { draftSums, linesOf, sheetLines, type Draft, type DraftLine } from '../../lib/report/quote/quoteDraft';
import { fromMinor, lineSum, MOST, type SheetSums } from '../../lib/report/quote/quoteSheet';
import type { Estimate } from '../../lib/quote/types';
import { quoteTerms } from '../../lib/words/labels';
import { typeRate } from '../shims/hourRate';
import { AreaField, amounts, NumberField, TextField } from './fields';
import { changeTerms, type KeptTerms } from './shopTerms';

interface Props {
  readonly draft: Draft;
  readonly shop: KeptTerms;
  readonly estimate: Estimate;
  readonly rate: number | null;
  readonly currencies: readonly string[];
  readonly onDraft: (change: Partial<Draft>) => void;
}

const kindWords: Readonly<Record<DraftLine['kind'], string>> = {
  labour: 'Labour',
  part: 'Part',
  allowance: 'Allowance',
};

interface LineProps {
  readonly line: DraftLine;
  readonly place: number;
  readonly rate: number | null;
  readonly currency: string;
  readonly onLine: (change: Partial<DraftLine>) => void;
  readonly onRemove: () => void;
}

function LineRow({ line, place, rate, currency, onLine, onRemove }: LineProps): ReactElement {
  const name = `line ${place}`;
  const [sheet] = sheetLines([line], rate, currency);
  return (
    <tr>
      <td>
        <label className="field">
          <span className="unseen">What, {name}</span>
          <input
            type="text"
            value={line.text}
            maxLength={MOST_LETTERS.line}
            onChange={(event) => {
              onLine({ text: event.currentTarget.value });
            }}
          />
        </label>
      </td>
      <td>
        {line.kind === 'allowance' ? null : (
          <NumberField
            name=""
            label={`${line.kind === 'labour' ? 'Hours' : 'Pieces'}, ${name}`}
            value={Number.isFinite(line.quantity) ? line.quantity : null}
            high={MOST.quantity}
            size={6}
            onValue={(quantity) => {
              onLine({ quantity: quantity ?? NaN });
            }}
          />
        )}
      </td>
      <td>
        {line.kind === 'labour' ? (
          <span className="fig">{rate === null ? 'no rate' : amounts.money(rate, currency)}</span>
        ) : (
          <NumberField
            name=""
            label={`Each, ${name}`}
            value={Number.isFinite(line.price) ? line.price : null}
            high={fromMinor(MOST.price, currency)}
            size={8}
            onValue={(price) => {
              onLine({ price: price ?? NaN });
            }}
          />
        )}
      </td>
      <td className="number">
        {amounts.money(fromMinor(sheet === undefined ? 0 : lineSum(sheet), currency), currency)}
      </td>
      <td>
        <button
          type="button"
          className="plain"
          onClick={onRemove}
          aria-label={`Remove ${line.text === '' ? name : line.text}`}
        >
          remove
        </button>
      </td>
    </tr>
  );
}

function Lines({ draft, estimate, rate, onDraft }: Omit<Props, 'shop' | 'currencies'>): ReactElement {
  const currency = estimate.choices.currency ?? '';
  const lines = draft.lines ?? linesOf(estimate);
  const add = (kind: DraftLine['kind']): void => {
    const key = Math.max(0, ...lines.map((line) => line.key)) + 1;
    const text = kind === 'allowance' ? 'Fluid and small parts' : kindWords[kind];
    onDraft({ lines: [...lines, { key, kind, text, quantity: 1, price: 0 }] });
  };
  return (
    <>
      <div className="sheet-scroll" data-tall="true">
        <table className="sheet quote-lines">
          <caption className="unseen">Lines of the quote, at cost</caption>
          <thead>
            <tr>
              {[quoteTerms.quoteLine, quoteTerms.quantity, quoteTerms.each, quoteTerms.lineSum].map((label) => (
                <th key={label.text} scope="col" title={label.meaning}>
                  {label.text}
                </th>
              ))}
              <td />
            </tr>
          </thead>
          <tbody>
            {lines.map((line, i) => (
              <LineRow
                key={line.key}
                line={line}
                place={i + 1}
                rate={rate}
                currency={currency}
                onLine={(change) => {
                  onDraft({ lines: lines.map((each) => (each.key === line.key ? { ...each, ...change } : each)) });
                }}
                onRemove={() => {
                  onDraft({ lines: lines.filter((each) => each.key !== line.key) });
                }}
              />
            ))}
          </tbody>
        </table>
      </div>
      <div className="row">
        {(['part', 'labour', 'allowance'] as const).map((kind) => (
          <button
            key={kind}
            type="button"
            disabled={lines.length >= MOST.lines}
            onClick={() => {
              add(kind);
            }}
          >
            Add {kind === 'allowance' ? 'an allowance' : kind === 'part' ? 'a part' : 'labour'}
          </button>
        ))}
        {draft.lines === null ? null : (
          <button
            type="button"
            className="plain"
            onClick={() => {
              onDraft({ lines: null });
            }}
          >
            back to the estimate&apos;s lines
          </button>
        )}
      </div>
    </>
  );
}

function Sums({ sums, currency }: { sums: SheetSums; currency: string }): ReactElement {
  const money = (minor: number): string => amounts.money(fromMinor(minor, currency), currency);
  const rows: readonly (readonly [string, number])[] = [
    ['Cost to the shop', sums.cost],
    ['Margin', sums.margin],
    ['Price before tax', sums.price],
    ['Tax', sums.tax],
    ['Price with tax', sums.total],
  ];
  return (
    <dl className="quote-sums" aria-label="Sums">
      {rows.map(([name, minor]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{money(minor)}</dd>
        </div>
      ))}
    </dl>
  );
}

function Terms({ shop, estimate, rate, currencies }: Omit<Props, 'draft' | 'onDraft'>): ReactElement {
  const { currency } = estimate.choices;
  return (
    <div className="row">
      <NumberField
        name="An hour costs the shop"
        value={rate}
        high={100_000}
        placeholder="rate"
        onValue={(perHour) => {
          typeRate({ perHour: perHour === 0 ? null : perHour });
        }}
      />
      <TextField
        name="Currency code"
        value={currency}
        most={3}
        size={5}
        choices={currencies}
        onDone={(typed) => {
          typeRate({ currency: (typed ?? '').toUpperCase() });
        }}
      />
      <NumberField
        name="Margin on top, %"
        value={shop.marginPercent}
        high={MOST.marginPercent}
        size={6}
        onValue={(marginPercent) => {
          changeTerms({ marginPercent: marginPercent ?? 0 });
        }}
      />
      <NumberField
        name="Tax, %"
        value={shop.taxPercent}
        high={MOST.taxPercent}
        size={6}
        onValue={(taxPercent) => {
          changeTerms({ taxPercent: taxPercent ?? 0 });
        }}
      />
      <NumberField
        name="Parts rise a year, %"
        value={shop.partsRise}
        low={-50}
        high={100}
        size={6}
        onValue={(partsRise) => {
          changeTerms({ partsRise: partsRise ?? 0 });
        }}
      />
    </div>
  );
}

/** Rate, lines, margin and tax, with the sums that come of them. */
export function SheetEditor(props: Props): ReactElement {
  const { draft, shop, estimate, rate, onDraft } = props;
  const currency = estimate.choices.currency ?? '';
  const lines = draft.lines ?? linesOf(estimate);
  return (
    <>
      <Terms {...props} />
      <Lines draft={draft} estimate={estimate} rate={rate} onDraft={onDraft} />
      <Sums sums={draftSums({ ...draft, lines }, shop, rate, currency)} currency={currency} />
    </>
  );
}

interface WordsProps {
  readonly draft: Draft;
  readonly shop: KeptTerms;
  /** Conditions that such jobs suggest and that are not on the sheet yet. */
  readonly suggested: readonly Suggestion[];
  readonly onDraft: (change: Partial<Draft>) => void;
}

/** Who it is from and for, how long it holds, and under which conditions. */
export function SheetWords({ draft, shop, suggested, onDraft }: WordsProps): ReactElement {
  const full = draft.conditions.length >= MOST_CONDITIONS;
  return (
    <>
      <div className="row">
        <TextField
          name="Number of the quote"
          value={draft.number === '' ? null : draft.number}
          most={40}
          size={12}
          onDone={(number) => {
            onDraft({ number: number ?? '' });
          }}
        />
        <NumberField
          name="Holds for days"
          value={shop.validDays}
          low={1}
          high={365}
          decimals={0}
          size={5}
          onValue={(validDays) => {
            if (validDays !== null) changeTerms({ validDays: Math.round(validDays) });
          }}
        />
      </div>
      <div className="quote-areas">
        <AreaField
          name="From (the shop)"
          value={shop.from}
          most={MOST_LETTERS.address}
          rows={3}
          onText={(from) => {
            changeTerms({ from });
          }}
        />
        <AreaField
          name="For (the customer)"
          value={draft.to}
          most={MOST_LETTERS.address}
          rows={3}
          onText={(to) => {
            onDraft({ to });
          }}
        />
        <AreaField
          name="Conditions, one a line"
          value={draft.conditions.join('\n')}
          most={MOST_CONDITIONS * MOST_LETTERS.condition}
          rows={4}
          onText={(text) => {
            const lines = text.split('\n').slice(0, MOST_CONDITIONS);
            onDraft({ conditions: text === '' ? [] : lines.map((line) => line.slice(0, MOST_LETTERS.condition)) });
          }}
        />
        <AreaField
          name="Remarks"
          value={draft.remarks}
          most={MOST_LETTERS.remarks}
          rows={4}
          onText={(remarks) => {
            onDraft({ remarks });
          }}
        />
      </div>
      {suggested.length === 0 ? null : (
        <div className="row">
          {suggested.map((suggestion) => {
            const other = hasOther(draft.conditions, suggestion);
            return (
              <button
                key={suggestion.opening}
                type="button"
                disabled={full && !other}
                onClick={() => {
                  onDraft({ conditions: withSuggestion(draft.conditions, suggestion) });
                }}
              >
                {other ? 'Put in its place' : 'Add'}: {suggestion.text}
              </button>
            );
          })}
        </div>
      )}
    </>
  );
}
