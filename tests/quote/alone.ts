import { monthOf } from '../../lib/quote/calendar';
import { estimate } from '../../lib/quote/estimate';
import { prepareQuotes } from '../../lib/quote/prepare';
import type { Choices, Estimate, QuoteHistory } from '../../lib/quote/types';
import { dayText, rowsOf } from './shop';

/** The slow way: a row's quote asked of `estimate` on the first of its month, with a history that knows nothing later. */
export function quotedAlone(history: QuoteHistory, row: number, choices: Choices): Estimate {
  const month = monthOf(history.received[row] ?? NaN);
  const before = Array.from(history.received.keys()).filter((other) => (history.received[other] ?? NaN) < month);
  const past = rowsOf(history, before);
  past.finished.forEach((day, k) => {
    if (day >= month) past.finished[k] = NaN;
  });
  // What an open job will take is not known yet.
  for (const column of [past.labourHours, past.partsCost]) {
    column.forEach((_, k) => {
      if (Number.isNaN(past.finished[k])) column[k] = NaN;
    });
  }
  const name = (kind: 'model' | 'work' | 'complaint' | 'branch') => history.names[kind][history[kind][row] ?? -1];
  const read = (value: number | undefined) => (value !== undefined && Number.isFinite(value) ? value : null);
  return estimate(prepareQuotes(past, { ...choices, today: dayText(month) }), {
    model: name('model') ?? '',
    work: name('work') ?? '',
    complaint: name('complaint') ?? null,
    branch: name('branch') ?? null,
    elements: read(history.elements[row]),
    engineHours: read(history.engineHours[row]),
    phasingDeg: read(history.phasingDeg[row]),
    scatterPercent: read(history.scatterPercent[row]),
    retentionDeficit: read(history.retentionDeficit[row]),
    leakSlope: read(history.leakSlope[row]),
  });
}
