'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import type { Room } from '../../lib/charts/frame';
import { funnelPlot, type FunnelRow } from '../../lib/charts/funnelRows';
import { technicianRates, type TechnicianRate } from '../../lib/store/questions/technicianRates';
import { count, counted, percent, percentRange } from '../../lib/words/figures';
import { logLabel, terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Frame } from '../_shell/Frame';
import { Keys } from '../_shell/Keys';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { TechniciansSwitch } from '../_shell/TechniciansSwitch';
import { useTechniciansLeftOut } from '../_shell/technicians';
import { useFilters } from '../_shell/useFilters';

/** Fewer counted jobs than these say nothing of a person. */
const LEAST_JOBS = 10;

function wordOf({ share, near, far }: TechnicianRate): string {
  if (near === null || far === null || (share >= near.low && share <= near.high)) return 'within chance';
  const side = share > near.high ? 'above' : 'below';
  return share > far.high || share < far.low ? `${side}, seldom chance` : `${side}, can be chance`;
}

const columns: readonly SheetColumn<TechnicianRate>[] = [
  { label: logLabel('jobs', 'technician'), cell: (row) => row.technician },
  { label: { ...terms.firstPass, unit: null }, cell: (row) => percent(row.share), number: true },
  { label: { ...terms.expectedRate, unit: null }, cell: (row) => percent(row.expected), number: true },
  {
    label: { ...terms.funnelLimits, unit: null },
    cell: (row) => (row.near === null ? '–' : percentRange(row.near.low, row.near.high)),
    number: true,
  },
  { label: terms.n, cell: (row) => count(row.n), number: true },
  { label: terms.standing, cell: wordOf },
];

function headline(rows: readonly TechnicianRate[]): string {
  const outside = rows.filter(({ share, far }) => far !== null && (share < far.low || share > far.high));
  return outside.length === 0
    ? 'No technician differs from the shop by more than chance would make'
    : `${outside.map((row) => row.technician).join(', ')} ${outside.length === 1 ? 'differs' : 'differ'} from the shop by more than chance would make`;
}

function Rates({ rows }: { rows: readonly TechnicianRate[] }): ReactElement {
  const enough = useMemo(() => rows.filter((row) => row.n >= LEAST_JOBS), [rows]);
  const draw = useCallback(
    (room: Room) =>
      funnelPlot(
        enough.map((row): FunnelRow => {
          const { far, share } = row;
          const outside = far !== null && (share < far.low || share > far.high);
          return { ...row, name: row.technician, word: wordOf(row), outside };
        }),
        room,
      ),
    [enough],
  );
  const thin = rows.length - enough.length;
  if (enough.length === 0) return <Note>Not enough data: no technician has {LEAST_JOBS} counted jobs.</Note>;
  return (
    <Frame
      title={headline(enough)}
      n={`${counted(
        enough.reduce((sum, row) => sum + row.n, 0),
        'job',
      )} counted${thin === 0 ? '' : `; ${count(thin)} with fewer than ${LEAST_JOBS} jobs not shown`}`}
      method={
        "Expected is the shop's rate on the same mix of models. The bars are funnel limits around it for that many jobs, exact binomial: 95 of " +
        '100 lie in the inner one by chance, 998 of 1,000 in the outer. Harder jobs of a model, its bench and its branch are not allowed for.'
      }
      keys={
        <Keys
          marks={[
            ['blue dot', 'rate'],
            ['diamond', 'beyond the outer limits'],
            ['band', 'inner limits'],
          ]}
        />
      }
      table={
        <Sheet
          caption="First pass by technician"
          hideCaption
          columns={columns}
          rows={enough}
          rowKey={(row) => row.technician}
        />
      }
      draw={draw}
    />
  );
}

function Asked(): ReactElement {
  const [filters] = useFilters();
  const asked = useAsk(technicianRates, filters);
  return (
    <Answer asked={asked} none="Not enough data: no counted job names a technician.">
      {(rows) => <Rates rows={rows} />}
    </Answer>
  );
}

interface Props {
  readonly shown: boolean;
  readonly onShow: (shown: boolean) => void;
}

/** Technicians, for whoever asks: nothing of them is shown or kept in the address before. */
export function Technicians({ shown, onShow }: Props): ReactElement {
  const leftOut = useTechniciansLeftOut();
  return (
    <section className="section" aria-labelledby="technicians">
      <h2 id="technicians">Technicians</h2>
      {leftOut ? (
        <p>Technicians are left out of all pages.</p>
      ) : (
        <>
          <div className="row">
            <button
              type="button"
              aria-expanded={shown}
              onClick={() => {
                onShow(!shown);
              }}
            >
              {shown ? 'Hide technicians' : 'Show technicians'}
            </button>
          </div>
          {shown ? <Asked /> : null}
        </>
      )}
      <TechniciansSwitch id="technicians-switch" />
    </section>
  );
}
