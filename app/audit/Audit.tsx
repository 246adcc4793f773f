'use client';

import { useMemo, type ReactElement } from 'react';
import { judgedJobs, type JudgedJob } from '../../lib/report/many/fleet';
import { drawSample } from '../../lib/stats/drawSample';
import { auditQueue } from '../../lib/store/questions/auditQueue';
import { useAsk } from '../_log/useAsk';
import { Answer } from '../_shell/Answer';
import { Note } from '../_shell/Notes';
import { useFilters } from '../_shell/useFilters';
import './audit.css';
import { Choose } from './Choose';
import { Fleet } from './Fleet';
import { planFor, sampleSays, type DrawnPlan } from './plan';
import { Queue, shownOf } from './Queue';
import { Sample } from './Sample';
import { SaveRecords } from './SaveRecords';
import { pasted, useAuditChoice, type AuditChange, type AuditChoice } from './useAuditChoice';
import { answerOf, notFoundSays, supplySays } from './words';

/** What was looked up or pasted. */
const namesOf = ({ number, list }: AuditChoice): readonly string[] => [
  ...(number === null ? [] : [number]),
  ...(list === null ? [] : pasted(list)),
];

/** The choices, which stay where they are while an answer is waited for. */
function Choices({ choice, set }: { choice: AuditChoice; set: (change: AuditChange) => void }): ReactElement {
  return (
    <div className="stack">
      <p className="quiet prose">
        What an auditor would find before whoever adjusts the claim does. A record holds where the pump left in
        specification, measured with gauges in date, in the right order, to the revision in force. The licensed
        practitioner decides.
      </p>
      <Choose choice={choice} set={set} />
    </div>
  );
}

/** The jobs that are looked at, and what the sample came to where they are drawn. */
function lookedAt(judged: readonly JudgedJob[], plan: DrawnPlan | null, { draw, seed }: AuditChoice) {
  if (draw === null) return judged;
  const ids = judged.map(({ job }) => job.job_id);
  const names = new Set(drawSample(ids, plan?.n ?? 0, seed));
  return judged.filter(({ job }) => names.has(job.job_id));
}

const NONE_OF_ALL = 'No job matches. The filters above, the number looked up or the list narrow too far.';
const NONE =
  'No warranty job matches. Take the tick from "Warranty jobs only" to look at every job, or widen the filters above.';

/** Before a claim: which records would hold, which not, and what can still be put right. */
export function Audit(): ReactElement {
  const [filters] = useFilters();
  const [choice, set] = useAuditChoice();
  const asked = useAsk(auditQueue, {
    ...filters,
    warranty: !choice.all,
    number: choice.number,
    among: choice.list === null ? null : pasted(choice.list),
  });
  const judged = useMemo(() => judgedJobs(asked.rows ?? []), [asked.rows]);
  const lot = judged.length;
  const plan = useMemo(() => planFor(lot, choice), [lot, choice]);
  const drawn = useMemo(() => lookedAt(judged, plan, choice), [judged, plan, choice]);
  const notFound = notFoundSays(namesOf(choice), judged);
  const answer = lot === 0 ? '' : answerOf(judged, choice.all);
  const outcome = plan === null ? null : sampleSays(drawn, plan, lot, choice);
  return (
    <div className="page">
      <div className="stack">
        <h1>Audit</h1>
        <Answer
          asked={asked}
          none={[choice.all ? NONE_OF_ALL : NONE, notFound].filter((each) => each !== null).join(' ')}
        >
          {() => (
            <>
              <p className="lead">
                <strong>{outcome ?? answer}</strong> {outcome === null ? supplySays(judged) : answer}
              </p>
              {notFound === null ? null : <Note warm>{notFound}</Note>}
            </>
          )}
        </Answer>
        <Choices choice={choice} set={set} />
      </div>
      {lot === 0 ? null : (
        <>
          {choice.draw === null ? null : <Sample choice={choice} set={set} plan={plan} drawn={drawn} lot={lot} />}
          {choice.draw !== null && plan === null ? null : (
            <section className="section" aria-labelledby="queue">
              <h2 id="queue">{choice.draw === null ? 'Jobs' : 'Jobs drawn'}</h2>
              <SaveRecords
                judged={shownOf(drawn, choice)}
                says={[outcome, answer].filter((each): each is string => each !== null)}
              />
              <Queue judged={drawn} filters={asked.args ?? filters} choice={choice} set={set} />
            </section>
          )}
          <Fleet judged={judged} choice={choice} set={set} />
        </>
      )}
    </div>
  );
}
