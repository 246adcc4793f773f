'use client';

import type { ReactElement, ReactNode } from 'react';
import type { Adjuster } from '../../lib/calc/types';
import type { Unit } from '../../lib/units/units';
import type { Band, FigureStyle, Writer } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { adjustment } from '../../lib/words/plan';
import { useUnits } from './useUnits';

/** The figure as it is written; the plain number, in the unit of the log, stands beside it for whoever reads by machine. */
function Plain({ value, text }: { value: number | null; text: string }): ReactElement {
  return value === null || !Number.isFinite(value) ? (
    <span className="fig">{text}</span>
  ) : (
    <data className="fig" value={value}>
      {text}
    </data>
  );
}

interface FigureProps extends FigureStyle {
  readonly value: number | null;
  readonly unit: Unit;
  /** What it is judged by: more digits are written where it would look no different from the limit that it missed. */
  readonly within?: Band;
}

/** A figure with its unit, in the units that the reader chose. */
export function Figure({ value, unit, within, ...style }: FigureProps): ReactElement {
  const write = useUnits();
  const text = within === undefined ? write.figure(value, unit, style) : write.beside(value, within, unit, style).value;
  return <Plain value={value} text={text} />;
}

/** Text with figures in the units that the reader chose, where a cell of a table is more than one figure. */
export function Written({ children }: { children: (write: Writer) => ReactNode }): ReactElement {
  return <>{children(useUnits())}</>;
}

interface AdjustmentProps {
  readonly mm: number | null;
  /** Null where pumps with different ones are told together: then no word says which way the hand goes. */
  readonly adjuster: Adjuster | null;
  readonly decimals?: number;
}

/** A change of a stack or of a screw, with its sign and the way the hand must go. */
export function Adjustment({ mm, adjuster, decimals = 2 }: AdjustmentProps): ReactElement {
  return <Plain value={mm} text={adjustment(mm, adjuster, useUnits(), decimals)} />;
}

/** Marks a figure that rests on a value the specification does not state. */
export function Assumed({ children }: { children?: ReactNode }): ReactElement {
  return (
    <span className="assumed" title={terms.assumed.meaning}>
      {children ?? terms.assumed.text}
    </span>
  );
}
