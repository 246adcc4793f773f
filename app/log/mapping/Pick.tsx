import type { ReactElement } from 'react';

interface Props<T extends string> {
  readonly label: string;
  /** Null where nothing is chosen yet. */
  readonly value: T | null;
  readonly options: readonly T[];
  readonly words: Readonly<Record<T, string>>;
  readonly onPick: (value: T) => void;
  /** Why it stands as it does. */
  readonly why?: string;
}

/** A choice of one of a few; until one is chosen it says so. */
export function Pick<T extends string>({ label, value, options, words, onPick, why }: Props<T>): ReactElement {
  return (
    <label className="field">
      <span>{label}</span>
      <select
        value={value ?? ''}
        aria-invalid={value === null}
        title={why}
        onChange={(event) => {
          const picked = options.find((option) => option === event.currentTarget.value);
          if (picked !== undefined) onPick(picked);
        }}
      >
        {value === null ? <option value="">Choose …</option> : null}
        {options.map((option) => (
          <option key={option} value={option}>
            {words[option]}
          </option>
        ))}
      </select>
    </label>
  );
}
