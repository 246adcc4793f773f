'use client';

import { useState, type ReactElement } from 'react';
import { splitsOf, trendPeriods, trendSeries } from '../../lib/store/questions/trendPeriods';
import { later } from '../_shell/later';
import { Pick } from '../_shell/Pick';
import { useTechniciansLeftOut } from '../_shell/technicians';
import { Batches } from './Batches';
import { Charts } from './Charts';
import { kindChoices } from './events';
import { seriesWords } from './series';
import { Technicians } from './Technicians';
import { TrendNotes } from './TrendNotes';
import { eventKinds, useTrendChoice, type TrendChoice } from './useTrendChoice';
import { capital, splitWords } from './words';

const RoomLeft = later(() => import('./RoomLeft').then((m) => m.RoomLeft));

const periodWords = { month: 'month', quarter: 'quarter' } as const;

/** A series over the months or quarters as control charts, told apart as a person chooses. */
export function Trends(): ReactElement {
  const [chosen, set] = useTrendChoice();
  const leftOut = useTechniciansLeftOut();
  const [shown, show] = useState(false);
  const [byTechnician, tellTechniciansApart] = useState(false);
  const named = shown && !leftOut;
  const choice: TrendChoice = named && byTechnician ? { ...chosen, split: 'technician' } : chosen;
  return (
    <div className="page">
      <div className="stack">
        <h1>Trends</h1>
        <div className="row no-print">
          <Pick
            name="Series"
            value={choice.series}
            values={trendSeries}
            words={(series) => capital(seriesWords[series].label.text)}
            onPick={(series) => {
              set({ series });
            }}
          />
          <Pick
            name="A chart for each"
            value={choice.split}
            values={splitsOf(choice.series).filter((split) => split !== 'technician' || named)}
            words={(split) => splitWords[split]}
            onPick={(split) => {
              tellTechniciansApart(split === 'technician');
              if (split !== 'technician') set({ split });
            }}
          />
          <Pick
            name="A point for each"
            value={choice.period}
            values={trendPeriods}
            words={(period) => periodWords[period]}
            onPick={(period) => {
              set({ period });
            }}
          />
          <fieldset className="trend-events">
            <legend>Marked</legend>
            {eventKinds.map((kind) => (
              <label key={kind}>
                <input
                  type="checkbox"
                  checked={!choice.hide.includes(kind)}
                  onChange={(event) => {
                    const rest = choice.hide.filter((each) => each !== kind);
                    set({ hide: event.currentTarget.checked ? rest : [...rest, kind] });
                  }}
                />{' '}
                {kindChoices[kind]}
              </label>
            ))}
          </fieldset>
        </div>
      </div>
      {choice.split === 'batch' ? <Batches key={choice.series} choice={choice} /> : null}
      <Charts key={`${choice.series} ${choice.split} ${choice.period}`} choice={choice} />
      <TrendNotes />
      <RoomLeft />
      <Technicians shown={shown} onShow={show} />
    </div>
  );
}
