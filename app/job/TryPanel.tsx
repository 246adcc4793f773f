'use client';

import { useEffect, useMemo, useState, useSyncExternalStore, type ReactElement } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';
import { readJob, type JobReadings } from '../../lib/store/questions/jobReadings';
import { terms } from '../../lib/words/labels';
import { asWritten } from '../../lib/words/visible';
import { session } from '../_log/session';
import { ShimCaution, Note } from '../_shell/Notes';
import { runName } from './place';
import { workOut, type Edit, type Edits } from './tried';
import { FindingsMoved, TriedSide } from './TrySides';
import { ClosureFields, VolumeFields } from './TryReadings';

type Loaded = { readonly job: JobReadings | null; readonly error: string | null } | null;

function useJob(id: string): Loaded {
  const version = useSyncExternalStore(
    session.subscribe,
    () => session.read().version,
    () => 0,
  );
  const [loaded, setLoaded] = useState<Loaded>(null);
  useEffect(() => {
    let current = true;
    readJob((sql, params) => session.ask(sql, params), asWritten(id)).then(
      (job) => {
        if (current) setLoaded({ job, error: null });
      },
      (error: unknown) => {
        if (current) setLoaded({ job: null, error: error instanceof Error ? error.message : String(error) });
      },
    );
    return () => {
      current = false;
    };
  }, [id, version]);
  return loaded;
}

const NONE: Edits = new Map();
const runsOf = ({ readings: { closures, draws } }: JobReadings): readonly number[] =>
  [...new Set([...closures.run, ...draws.run])].toSorted((a, b) => a - b);

function Panel({ job, card }: { job: JobReadings; card: JobCard }): ReactElement {
  const runs = runsOf(job);
  const [run, setRun] = useState(runs.includes(1) ? 1 : (runs[0] ?? 0));
  const points = [...new Set([...job.readings.draws.point].filter((_, row) => job.readings.draws.run[row] === run))];
  const [wanted, setPoint] = useState(-1);
  const point = points.includes(wanted) ? wanted : (points[0] ?? -1);
  const [edits, setEdits] = useState<Edits>(NONE);
  const logged = useMemo(() => workOut(job, NONE), [job]);
  const tried = useMemo(() => workOut(job, edits), [job, edits]);
  const edit = (key: string, change: Edit | null): void => {
    setEdits((before) => {
      const after = new Map(before);
      if (change === null) after.delete(key);
      else after.set(key, change);
      return after;
    });
  };
  const fields = { job, run, edits, edit, logged, tried };
  const side = { run, point, pointName: job.points[point] ?? '', card };
  return (
    <section className="try" aria-labelledby="try">
      <h2 id="try">Try figures</h2>
      <p className="prose">
        Change a reading of one run and see at once what would follow. {terms.tried.meaning} Reset puts the readings
        back.
      </p>
      <div className="row">
        <label>
          Run{' '}
          <select
            value={run}
            onChange={(event) => {
              setRun(Number(event.currentTarget.value));
            }}
          >
            {runs.map((one) => (
              <option key={one} value={one}>
                {runName(one)}
              </option>
            ))}
          </select>
        </label>
        {points.length === 0 ? null : (
          <label>
            Test point{' '}
            <select
              value={point}
              onChange={(event) => {
                setPoint(Number(event.currentTarget.value));
              }}
            >
              {points.map((one) => (
                <option key={one} value={one}>
                  {job.points[one]}
                </option>
              ))}
            </select>
          </label>
        )}
        <button
          type="button"
          disabled={edits.size === 0}
          onClick={() => {
            setEdits(NONE);
          }}
        >
          Reset
        </button>
        <span className="quiet" role="status">
          {edits.size === 0 ? 'All readings as logged.' : `Figures changed: ${edits.size}.`}
        </span>
      </div>
      <div className="try-sides">
        <TriedSide name={terms.logged.text} from={logged} {...side} />
        <TriedSide name={terms.tried.text} from={tried} tried {...side} />
      </div>
      <FindingsMoved logged={logged.findings} tried={tried.findings} />
      <ShimCaution />
      <div className="try-sides try-readings">
        <ClosureFields {...fields} />
        {point < 0 ? null : <VolumeFields {...fields} point={point} />}
      </div>
    </section>
  );
}

/** Readings of one run in number fields, and what follows from them beside what follows from the log. */
export function TryPanel({ card }: { card: JobCard }): ReactElement {
  const loaded = useJob(card.job_id);
  if (loaded === null) return <p className="quiet">Getting the readings …</p>;
  if (loaded.error !== null) return <Note warm>The readings could not be taken out of the log. {loaded.error}</Note>;
  if (loaded.job === null || runsOf(loaded.job).length === 0) {
    return <Note>This job has no closure and no draw to try other figures with.</Note>;
  }
  return <Panel job={loaded.job} card={card} />;
}
