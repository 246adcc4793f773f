'use client';

import type { ReactElement } from 'react';
import { ROUND_DAYS } from '../../lib/store/benchRounds';
import {
  benchStudy,
  FEWEST_PUMPS,
  FEWEST_REPEATED,
  repeatStudy,
  type BenchStudy,
  type RepeatStudy,
} from '../../lib/store/questions/gaugeStudy';
import { counted, NO_FIGURE } from '../../lib/words/figures';
import { terms } from '../../lib/words/labels';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Note } from '../_shell/Notes';
import { Sheet, type SheetColumn } from '../_shell/Sheet';
import { useFilters } from '../_shell/useFilters';

interface Share {
  readonly name: string;
  /** [percent of the delivery] */
  readonly sd: number;
  readonly low: number;
  readonly high: number;
}

const written = (value: number): string => value.toFixed(2);
const columns: readonly SheetColumn<Share>[] = [
  { label: terms.scatterOf, cell: (row) => row.name },
  { label: terms.scatterSize, cell: (row) => written(row.sd), number: true },
  {
    label: { ...terms.interval, unit: null },
    cell: (row) => (Number.isFinite(row.low) ? `${written(row.low)} to ${written(row.high)}` : NO_FIGURE),
    number: true,
  },
];

function Shares({ caption, rows }: { caption: string; rows: readonly Share[] }): ReactElement {
  return <Sheet caption={caption} columns={columns} rows={rows} rowKey={(row) => row.name} />;
}

/** What the log holds of a study in which the same pumps went over several benches. */
function Crossed({ found }: { found: BenchStudy }): ReactElement {
  const { study, pumps, benches } = found;
  if (study === null) {
    return (
      <Note>
        How much benches differ on one and the same pump, untouched in between: not enough data.{' '}
        {pumps === 0 ? 'No pump' : `Only ${counted(pumps, 'pump')}`} was tested on two benches within {ROUND_DAYS} days
        with nothing set and nothing fitted; a study takes {FEWEST_PUMPS} on the same benches. Until then, see bench
        against bench above.
      </Note>
    );
  }
  const { chosen } = study;
  const rows = (
    [
      ['repeating on one bench', chosen.repeatability],
      ['benches (reproducibility)', chosen.reproducibility],
      ['both together (GRR)', chosen.gauge],
      ['pumps', chosen.part],
    ] as const
  ).map(([name, { sd, interval }]) => ({ name, sd, ...interval }));
  return (
    <>
      <Shares
        caption={`${counted(study.parts, 'pump')} tested untouched on ${benches.join(', ')}, ${counted(study.trials, 'draw')} each`}
        rows={rows}
      />
      <p className="quiet prose">
        Gauge study by analysis of variance at the base point, intervals at 95 %. Bench and draw together are{' '}
        {chosen.gauge.percent.toFixed(0)} % of all scatter; the bench tells{' '}
        {Number.isFinite(chosen.categories) ? counted(chosen.categories, 'grade') : 'any number of grades'} of pump
        apart.
      </p>
    </>
  );
}

function Repeated({ found }: { found: RepeatStudy }): ReactElement {
  const { jobs, within, between, half_band } = found;
  if (within === null || between === null) {
    return (
      <Note>
        Scatter from draw to draw and from job to job: not enough data. {counted(jobs, 'job')} with two draws of one run
        at the base point; it takes {FEWEST_REPEATED}.
      </Note>
    );
  }
  return (
    <>
      <Shares
        caption={`The whole pump at the base point, ${counted(jobs, 'job')} drawn twice`}
        rows={[
          { name: 'draw to draw (repeatability)', ...within },
          { name: 'job to job', ...between },
        ]}
      />
      <p className="quiet prose">
        Variance components, one way, of the mean of all elements in percent from the middle of the band; first two
        draws that count of each job, intervals at 95 %. Three standard deviations of a draw are{' '}
        <strong>{(3 * within.sd).toFixed(1)} %</strong>
        {half_band === null ? '' : `, and the band is ±${half_band.toFixed(1)} % wide (median of these jobs)`}. Job to
        job holds the pumps and the benches together: one job stands on one bench.
      </p>
    </>
  );
}

/** Repeatability and, where the log holds a study, reproducibility. */
export function Study(): ReactElement {
  const [filters] = useFilters();
  const crossed = useAsk(benchStudy, filters);
  const repeated = useAsk(repeatStudy, filters);
  return (
    <div className="stack">
      <Answer asked={repeated} none="Nothing was drawn.">
        {([found]) => (found === undefined ? null : <Repeated found={found} />)}
      </Answer>
      <Answer asked={crossed} none="Nothing was drawn.">
        {([found]) => (found === undefined ? null : <Crossed found={found} />)}
      </Answer>
    </div>
  );
}
