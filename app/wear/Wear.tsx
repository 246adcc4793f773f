'use client';

import { parseAsString, useQueryState } from 'nuqs';
import type { ReactElement } from 'react';
import { retentionByElement } from '../../lib/store/questions/retentionByElement';
import { retentionByModel, type RetentionQuarter } from '../../lib/store/questions/retentionByModel';
import { returningSerials } from '../../lib/store/questions/returningSerials';
import { counted, percent, percentRange, quarterName } from '../../lib/words/figures';
import { useAsk } from '../_log/useAsk';
import { useForesight } from '../_shell/useForesight';
import { Answer } from '../_shell/Answer';
import { ModelPicks } from '../_shell/ModelPicks';
import { later } from '../_shell/later';
import { useFilters } from '../_shell/useFilters';
import { SerialPicker, SerialTable } from './Serials';

const ModelRetention = later(() => import('./Retention').then((m) => m.ModelRetention));
const ElementRetention = later(() => import('./Retention').then((m) => m.ElementRetention));
const Indicators = later(() => import('./Indicators').then((m) => m.Indicators));
const OneSerial = later(() => import('./OneSerial').then((m) => m.OneSerial));

/** What choosing a model brings. */
const foreseen = { questions: [retentionByElement] };

/** Too few readings to name a model in a sentence. */
const ENOUGH = 20;

/**
 * States what was kept in the newest quarter with enough readings as received, and of which model: the one that kept least, where
 * there is more than one to compare.
 */
function Sentence({ rows }: { rows: readonly RetentionQuarter[] }): ReactElement {
  const received = rows.filter((row) => row.occasion === 'as received' && row.n >= ENOUGH);
  const newest = received
    .map((row) => row.quarter)
    .toSorted()
    .at(-1);
  const compared = received.filter((row) => row.quarter === newest).toSorted((a, b) => a.median - b.median);
  const least = compared[0];
  if (least === undefined)
    return (
      <p className="lead">
        Not enough readings as received to say how much is kept at low speed: no quarter has {ENOUGH} of one model.
      </p>
    );
  const words = compared.length === 1 ? 'kept of its delivery' : 'kept least of its delivery';
  return (
    <p className="lead">
      {least.pump_model} {words} at low speed, as received in {quarterName(least.quarter)}:{' '}
      <strong>{percent(least.median)}</strong> in the middle, eight elements in ten from{' '}
      {percentRange(least.p10, least.p90)}, {counted(least.n, 'element')} read. That is the newest quarter alone
      {compared.length === 1
        ? `, the last in which ${ENOUGH} elements of a model were read`
        : `, among the ${counted(compared.length, 'model')} with ${ENOUGH} elements read or more in it`}
      ; earlier ones are in the plots below.
    </p>
  );
}

/** What wears: by model over the years, and by one serial number over its visits. */
export function Wear(): ReactElement {
  const [filters] = useFilters();
  const [serial, setSerial] = useQueryState('serial', parseAsString);
  const models = useAsk(retentionByModel, filters);
  const serials = useAsk(returningSerials, filters);
  const names = [...new Set((models.rows ?? []).map((row) => row.pump_model))];
  useForesight(models.rows !== null && serials.rows !== null, foreseen, names);
  return (
    <div className="page">
      <div className="stack">
        <h1>Wear{filters.model === null ? '' : `, ${filters.model}`}</h1>
        <Answer asked={models} none="No job that matches has draws at low and at rated speed with the same rack.">
          {(rows) => <Sentence rows={rows} />}
        </Answer>
        <p className="quiet prose">
          Leakage past a worn plunger has more time at low speed, so low-speed delivery falls first. Low-speed retention
          is that delivery over the one at rated speed, at the same rack. It is evidence, not proof: a leaking delivery
          valve, warm or thin fluid or a gauge can lower it too.
        </p>
        <SerialPicker
          serials={serials.rows ?? []}
          serial={serial}
          onPick={(picked) => {
            void setSerial(picked);
          }}
        />
      </div>
      {serial === null ? null : <OneSerial serial={serial} />}
      <section className="section" aria-labelledby="by-model">
        <h2 id="by-model">By model over time</h2>
        <Answer asked={models} none="No job that matches has draws at low and at rated speed with the same rack.">
          {(rows) => <ModelRetention rows={rows} />}
        </Answer>
        {filters.model === null ? (
          <ModelPicks models={names} reason="Choose a model to see each element:" />
        ) : (
          <ElementRetention model={filters.model} />
        )}
      </section>
      <section className="section" aria-labelledby="indicators">
        <h2 id="indicators">Further signs of wear, by model</h2>
        <p className="quiet prose">
          Each is evidence, never proof. Its basis, its n and what else could cause it stand with it.
        </p>
        <Indicators />
      </section>
      <section className="section" aria-labelledby="returning">
        <h2 id="returning">Pumps that came back</h2>
        <Answer asked={serials} none="No serial number has two jobs among those that match.">
          {(rows) => <SerialTable rows={rows} filters={serials.args ?? filters} />}
        </Answer>
      </section>
    </div>
  );
}
