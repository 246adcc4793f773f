import type { ReactElement } from 'react';
import { formulas, type Formula, type FormulaName } from '../../lib/calc/formulas/formulas';
import { inLogUnits } from '../../lib/words/figures';

/** How the figures of a section are worked out: symbol, formula, unit, meaning, source; in the log's units, as they are reckoned. */
export function Formulas({ of }: { of: readonly FormulaName[] }): ReactElement {
  return (
    <details className="block">
      <summary>How these figures are worked out</summary>
      <p className="small quiet">In the units of the log, whatever units are shown.</p>
      <ul className="formulas">
        {of.map((name) => {
          const formula: Formula = formulas[name];
          const unit = inLogUnits.symbol(formula.unit);
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
