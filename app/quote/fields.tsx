'use client';

import { useId, useState, type ReactElement, type ReactNode } from 'react';
import { amountsIn } from '../../lib/words/amounts';

/** Fields of the quote page: numbers are typed and shown as the reader's place writes them. */

/** Writes and reads in the reader's own locale. */
export const amounts = amountsIn();

interface NumberProps {
  readonly name: ReactNode;
  /** What a screen reader says where the name is not shown. */
  readonly label?: string;
  readonly value: number | null;
  readonly low?: number;
  readonly high?: number;
  readonly decimals?: number;
  readonly size?: number;
  readonly placeholder?: string;
  /** Null where the field is empty or holds no number within its bounds. */
  readonly onValue: (value: number | null) => void;
  /** How the value stands in the field, where it is not plain. */
  readonly form?: { readonly write: (value: number) => string; readonly read: (text: string) => number };
}

/** A number; what is typed stays as it is typed. */
export function NumberField(props: NumberProps): ReactElement {
  const { name, label, value, low = 0, high = 1e9, decimals = 2, size = 8, placeholder, onValue, form } = props;
  const write = (shown: number | null): string =>
    shown === null ? '' : (form?.write(shown) ?? amounts.field(shown, decimals));
  const [held, hold] = useState({ value, text: write(value) });
  // Changed from elsewhere: the field follows.
  if (!Object.is(held.value, value)) hold({ value, text: write(value) });
  const wrong = held.text.trim() !== '' && value === null;
  return (
    <label className="field">
      <span className={label === undefined ? undefined : 'unseen'}>{label ?? name}</span>
      <input
        type="text"
        inputMode="decimal"
        size={size}
        value={held.text}
        placeholder={placeholder}
        aria-invalid={wrong}
        onChange={(event) => {
          const text = event.currentTarget.value;
          const read = (form?.read ?? amounts.read)(text);
          const typed = Number.isFinite(read) && read >= low && read <= high ? read : null;
          hold({ value: typed, text });
          onValue(typed);
        }}
      />
    </label>
  );
}

interface TextProps {
  readonly name: string;
  readonly value: string | null;
  readonly most: number;
  readonly size?: number;
  readonly choices?: readonly string[];
  readonly placeholder?: string;
  /** Called when the person leaves the field or presses Enter; null for an empty one. */
  readonly onDone: (value: string | null) => void;
}

/** A text that counts once it is written to the end. */
export function TextField({ name, value, most, size, choices, placeholder, onDone }: TextProps): ReactElement {
  const list = useId();
  const [held, hold] = useState({ value, text: value ?? '' });
  if (held.value !== value) hold({ value, text: value ?? '' });
  const done = (text: string): void => {
    const written = text.trim() === '' ? null : text.trim();
    if (written !== value) onDone(written);
  };
  return (
    <label className="field">
      <span>{name}</span>
      <input
        type="text"
        maxLength={most}
        size={size}
        value={held.text}
        placeholder={placeholder}
        autoComplete="off"
        list={choices === undefined ? undefined : list}
        onChange={(event) => {
          const text = event.currentTarget.value;
          hold({ value, text });
          // One picked out of the list is written to the end.
          if (choices?.includes(text) === true) done(text);
        }}
        onBlur={(event) => {
          done(event.currentTarget.value);
        }}
        onKeyDown={(event) => {
          if (event.key === 'Enter') {
            event.preventDefault();
            done(event.currentTarget.value);
          }
        }}
      />
      {choices === undefined ? null : (
        <datalist id={list}>
          {choices.map((choice) => (
            <option key={choice} value={choice} />
          ))}
        </datalist>
      )}
    </label>
  );
}

interface AreaProps {
  readonly name: string;
  readonly value: string;
  readonly most: number;
  readonly rows: number;
  readonly onText: (text: string) => void;
}

export function AreaField({ name, value, most, rows, onText }: AreaProps): ReactElement {
  return (
    <label className="field quote-area">
      <span>{name}</span>
      <textarea
        rows={rows}
        maxLength={most}
        value={value}
        onChange={(event) => {
          onText(event.currentTarget.value);
        }}
      />
    </label>
  );
}
