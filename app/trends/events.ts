import type { ControlEvent } from '../../lib/charts/control';
import type { LogNote } from '../../lib/keep/notes';
import type { LogEvent } from '../../lib/store/questions/trendEvents';
import type { EventKind } from './useTrendChoice';

/** Something that happened, by the log or by a person's note. */
export interface Happening {
  readonly kind: EventKind;
  readonly name: string;
  /** The model that it concerns; null for all. */
  readonly model: string | null;
  readonly on: string;
}

export const kindWords: Readonly<Record<EventKind, string>> = {
  bench: 'new bench',
  batch: 'new shim batch',
  revision: 'specification revision',
  note: 'note',
};
export const kindChoices: Readonly<Record<EventKind, string>> = {
  bench: 'New benches',
  batch: 'New shim batches',
  revision: 'Specification revisions',
  note: 'Notes',
};

const shortWords: Readonly<Record<EventKind, string>> = {
  bench: 'bench ',
  batch: 'shims ',
  revision: 'rev. ',
  note: '',
};

/** All that is to be drawn, in order of time. */
export function happenings(
  events: readonly LogEvent[],
  notes: readonly LogNote[],
  hide: readonly EventKind[],
): readonly Happening[] {
  return [
    ...events.map(({ kind, name, pump_model, on }): Happening => ({ kind, name, model: pump_model, on })),
    ...notes.map(({ text, model, on }): Happening => ({ kind: 'note', name: text, model, on })),
  ]
    .filter(({ kind }) => !hide.includes(kind))
    .toSorted((a, b) => a.on.localeCompare(b.on));
}

/** The ticks of a chart: what concerns its model, or any model where the chart is of several; within its days. */
export function ticksOf(
  all: readonly Happening[],
  model: string | null,
  days: readonly [string, string],
): ControlEvent[] {
  return all
    .filter((each) => model === null || each.model === null || each.model === model)
    .filter(({ on }) => on >= days[0] && on < days[1])
    .map(({ kind, name, model: of, on }) => ({
      on,
      label: `${shortWords[kind]}${kind === 'revision' && model === null && of !== null ? `${name} ${of}` : name}`,
      own: kind === 'note',
    }));
}
