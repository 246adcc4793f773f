'use client';

import type { ReactElement } from 'react';
import type { Draft } from '../../lib/report/quote/quoteDraft';
import { shareWords } from '../../lib/report/quote/quoteFace';
import { fromMinor, MOST } from '../../lib/report/quote/quoteSheet';
import type { PriceAnswer } from '../../lib/store/quoteDesk';
import { overrunWords, whyNot } from '../../lib/words/quote';
import { Note } from '../_shell/Notes';
import { amounts, NumberField } from './fields';

export const CHANCES = [0.05, 0.1, 0.2, 0.3] as const;

interface Props {
  readonly draft: Draft;
  readonly currency: string;
  readonly rate: number | null;
  /** Ends of the range before tax, margin and all [minor units]. */
  readonly range: { readonly low: number; readonly high: number } | null;
  readonly answer: PriceAnswer | null;
  readonly busy: boolean;
  readonly onDraft: (change: Partial<Draft>) => void;
}

/** What the price means: how many jobs like this would have lost money at it. */
function WhatIf({ draft, currency, rate, range, answer, busy }: Omit<Props, 'onDraft'>): ReactElement {
  if (rate === null)
    return <Note>Type what an hour costs the shop: the price and the chance to lose money follow.</Note>;
  if (answer === null) return <p className="quiet">Looking through past jobs …</p>;
  const asRange = draft.kind === 'range';
  const at = asRange ? answer.overrunHigh : answer.overrun;
  const money = (minor: number): string => amounts.money(fromMinor(minor, currency), currency);
  return (
    <div className="stack" data-busy={busy}>
      {!asRange ? null : range === null ? (
        <Note warm>
          No such range can be told, {whyNot(answer.high.notEnough ?? answer.low.notEnough)}. The sheet keeps to one
          price.
        </Note>
      ) : (
        <p>
          From <strong>{money(range.low)}</strong> to <strong>{money(range.high)}</strong> before tax, margin and all.
          About {shareWords(draft.chance)} would go beyond it.
        </p>
      )}
      {at === null ? null : (
        <p role="status" className="quote-whatif">
          {overrunWords(at)}
        </p>
      )}
    </div>
  );
}

/** One price, or a range with a chance. */
export function PriceChoice(props: Props): ReactElement {
  const { draft, currency, onDraft } = props;
  return (
    <>
      <fieldset className="quote-kinds">
        <legend>How it is priced</legend>
        {(['fixed', 'range'] as const).map((kind) => (
          <label key={kind}>
            <input
              type="radio"
              name="quote-kind"
              checked={draft.kind === kind}
              onChange={() => {
                onDraft({ kind });
              }}
            />
            {kind === 'fixed' ? 'One fixed price' : 'A range'}
          </label>
        ))}
        {draft.kind === 'fixed' ? (
          <NumberField
            name="Set the price before tax"
            value={draft.set}
            high={fromMinor(MOST.price, currency)}
            placeholder="cost and margin"
            size={12}
            onValue={(set) => {
              onDraft({ set });
            }}
          />
        ) : (
          <label className="field">
            <span>May go beyond it</span>
            <select
              value={draft.chance}
              onChange={(event) => {
                onDraft({ chance: Number(event.currentTarget.value) });
              }}
            >
              {CHANCES.map((chance) => (
                <option key={chance} value={chance}>
                  {shareWords(chance, 'jobs')}
                </option>
              ))}
            </select>
          </label>
        )}
      </fieldset>
      <WhatIf {...props} />
    </>
  );
}
