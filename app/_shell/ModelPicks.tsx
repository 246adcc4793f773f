'use client';

import type { ReactElement } from 'react';
import { useFilters } from './useFilters';

/** Asks for one model and offers those there are. */
export function ModelPicks({ models, reason }: { models: readonly string[]; reason: string }): ReactElement {
  const [, set] = useFilters();
  return (
    <div className="row">
      <p id="pick-model">{reason}</p>
      <ul className="picks" aria-labelledby="pick-model">
        {models.map((model) => (
          <li key={model}>
            <button
              type="button"
              onClick={() => {
                set({ model });
              }}
            >
              {model}
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}
