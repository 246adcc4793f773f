'use client';

import Link from 'next/link';
import { useMemo, type ReactElement } from 'react';
import { couldBeSeen } from '../../lib/find/seen';
import type { Found, SearchAnswer } from '../../lib/find/types';
import { pickedJobs } from '../../lib/store/questions/pickedJobs';
import { shopSummary } from '../../lib/store/questions/shopSummary';
import { costWords, dearest, headline, leadWords, ranked, searchedWords, seeableWords } from '../../lib/words/faults';
import { useAsk } from '../_log/useAsk';
import { Note } from '../_shell/Notes';
import { later } from '../_shell/later';
import { useFilters } from '../_shell/useFilters';
import { useUnits } from '../_shell/useUnits';
import { FaultArticle } from './FaultArticle';
import { articleId, faultAddress, GONE, useFault, useTechnicians } from './place';
import { Searched } from './Searched';

const FindingsTally = later(() => import('../_shop/FindingsTally').then((m) => m.FindingsTally));

function Lead({ answer, technicians }: { answer: SearchAnswer; technicians: boolean }): ReactElement {
  const write = useUnits();
  const most = dearest(answer);
  return (
    <>
      <p className="lead">
        {leadWords(answer)}{' '}
        {most === null ? null : (
          <>
            <strong>
              <Link href={`${faultAddress(most, technicians)}#${articleId(most)}`}>{headline(most, write)}</Link>
            </strong>{' '}
            {most.cost === null ? null : costWords(most)}
          </>
        )}
      </p>
      <p className="quiet prose">{searchedWords(answer)}</p>
      {answer.found.length === 0 ? <Note>{seeableWords(couldBeSeen(answer))}</Note> : null}
    </>
  );
}

interface ListProps {
  readonly name: string;
  readonly explains: string;
  readonly found: readonly Found[];
  readonly answer: SearchAnswer;
  readonly technicians: boolean;
  readonly chosen: string | null;
  readonly picked: ReadonlySet<number> | null;
}

function List({ name, explains, found, answer, technicians, chosen, picked }: ListProps): ReactElement | null {
  if (found.length === 0) return null;
  const id = name.toLowerCase().replaceAll(' ', '-');
  return (
    <section className="section" aria-labelledby={id}>
      <h2 id={id}>
        {name} ({found.length})
      </h2>
      <p className="quiet prose">{explains}</p>
      {found.map((each) => (
        <FaultArticle
          key={each.id}
          found={each}
          comparisons={answer.comparisons}
          technicians={technicians}
          chosen={each.id === chosen}
          matching={picked === null ? null : each.jobs.filter((job) => picked.has(job)).length}
        />
      ))}
    </section>
  );
}

interface FoundProps {
  readonly answer: SearchAnswer;
  readonly technicians: boolean;
  /** Numbers of the jobs that the filters let through; null where none is set. */
  readonly picked: ReadonlySet<number> | null;
}

function Lists({ answer, technicians, picked }: FoundProps): ReactElement {
  const [fault] = useFault();
  const { certain, worth } = ranked(answer);
  const gone = fault !== null && !answer.found.some(({ id }) => id === fault);
  const common = { answer, technicians, picked, chosen: fault };
  return (
    <>
      {gone ? <Note warm>{GONE}</Note> : null}
      {picked === null || answer.found.length === 0 ? null : (
        <Note>
          Faults are looked for in the whole log, whatever filters are set. Each says how many of its jobs match them.
        </Note>
      )}
      <List
        name="Certain"
        explains="Each difference is surely larger than what matters, with every comparison of the search allowed for. Dearest first, those that are over last."
        found={certain}
        {...common}
      />
      <List
        name="Worth a look"
        explains="More than chance alone would show, but perhaps too small to matter. Dearest first, those that are over last."
        found={worth}
        {...common}
      />
    </>
  );
}

/** Asks for the numbers of the picked jobs, which can be many, only where filters are set. */
function NarrowedLists(props: Omit<FoundProps, 'picked'>): ReactElement {
  const [filters] = useFilters();
  const { rows } = useAsk(pickedJobs, filters);
  const picked = useMemo(() => (rows === null ? null : new Set(rows.map((row) => row.job_no))), [rows]);
  return <Lists {...props} picked={picked} />;
}

function FoundLists(props: Omit<FoundProps, 'picked'>): ReactElement {
  const [filters] = useFilters();
  const any = Object.values(filters).some((value) => value !== null);
  return any ? <NarrowedLists {...props} /> : <Lists {...props} picked={null} />;
}

/** What the engine noted job by job: slips of the pen and of the hand, beside what statistics find across jobs. */
function Records(): ReactElement {
  const [filters] = useFilters();
  const { rows } = useAsk(shopSummary, filters);
  return <FindingsTally jobs={rows?.[0]?.jobs ?? 0} heading="What the records show" />;
}

/** Which faults recur, where, since when, how sure that is and what they cost. */
export function Faults(): ReactElement {
  const [technicians, setTechnicians] = useTechnicians();
  return (
    <div className="page">
      <h1>Faults that come back</h1>
      <Searched technicians={technicians}>
        {(answer) => (
          <>
            <div className="stack">
              <Lead answer={answer} technicians={technicians} />
            </div>
            <FoundLists answer={answer} technicians={technicians} />
          </>
        )}
      </Searched>
      {setTechnicians === null ? null : (
        <div className="row no-print">
          <label className="row">
            <input
              type="checkbox"
              checked={technicians}
              onChange={(event) => {
                setTechnicians(event.currentTarget.checked);
              }}
            />
            Search by technician too
          </label>
          <span className="quiet small">Left out unless this is ticked; the search then runs again.</span>
        </div>
      )}
      <Records />
    </div>
  );
}
