'use client';

import type { ReactElement } from 'react';
import { terms } from '../../lib/words/labels';
import { leaveTechniciansOut, useTechniciansLeftOut } from './technicians';

/** The switch that takes technicians off every page. */
export function TechniciansSwitch({ id }: { id: string }): ReactElement {
  const leftOut = useTechniciansLeftOut();
  return (
    <div className="units-choice">
      <label>
        <input
          type="checkbox"
          checked={leftOut}
          aria-describedby={id}
          onChange={(event) => {
            leaveTechniciansOut(event.currentTarget.checked);
          }}
        />{' '}
        {terms.techniciansLeftOut.text}
      </label>
      <p id={id}>{terms.techniciansLeftOut.meaning}</p>
    </div>
  );
}
