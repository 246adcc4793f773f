import type { ReactElement } from 'react';
import { formulas, type Formula, type FormulaName } from '../../lib/calc/formulas';
import { units } from '../../lib/units/units';

/** How the figures of a section are worked out: symbol, formula, unit, meaning, source. */
export function Formulas({ of }: { of: readonly FormulaName[] }): ReactElement {
  return (
    <details className="block">
      <summary>How these figures are worked out</summary>
      <ul className="formulas">
        {of.map((name) => {
          const formula: Formula = formulas[name];
          const unit = units[formula.unit].symbol;
          return (
            <li key={name}>
              <code>{formula.text}</code>
              {unit === '' ? null : <span className="quiet"> in {unit}</span>}
              <br />
              {formula.meaning} <span className="quiet">Source: {formula.source}.</span>
            </li>
          );
        })}
      </ul>
    </details>
  );
}
