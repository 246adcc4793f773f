import type { ReactElement } from 'react';

interface PickProps<Value extends string> {
  readonly name: string;
  readonly value: Value;
  readonly values: readonly Value[];
  readonly words: (value: Value) => string;
  readonly onPick: (value: Value) => void;
}

/** One of a few values, by the words for it. */
export function Pick<Value extends string>({ name, value, values, words, onPick }: PickProps<Value>): ReactElement {
  return (
    <label className="field">
      <span>{name}</span>
      <select
        value={value}
        onChange={(event) => {
          const picked = values.find((each) => each === event.currentTarget.value);
          if (picked !== undefined) onPick(picked);
        }}
      >
        {values.map((each) => (
          <option key={each} value={each}>
            {words(each)}
          </option>
        ))}
      </select>
    </label>
  );
}
