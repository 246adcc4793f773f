import type { ReactElement, ReactNode } from 'react';
import type { JobCard } from '../../lib/store/questions/jobCard';
import { counted, day } from '../../lib/words/figures';
import { resultLabel } from '../../lib/words/labels';
import { Note } from '../_shell/Notes';
import { useUnits } from '../_shell/useUnits';
import { FirstPass, Verdict } from '../_shell/Verdict';

function Sentence({ card }: { card: JobCard }): ReactElement {
  const { figure } = useUnits();
  const asked = `${counted(card.stages_counted, 'stage')} of ${card.stages_asked} asked for were measured at run 1`;
  const words = {
    yes: `It passed first time: all ${counted(card.stages_asked, 'stage')} were in at run 1.`,
    no: 'It did not pass first time.',
    'not counted': `It is not counted for first pass: ${asked}.`,
  } as const;
  return (
    <p className="lead">
      {card.pump_model} {card.pump_serial}, received {day(card.received_on)}. {words[card.first_pass]}{' '}
      {card.received_error_deg === null
        ? 'No closure was read as received.'
        : `Largest phase error as received ${figure(card.received_error_deg, 'cam_deg', { sign: true })}${
            card.left_error_deg === null ? '' : `, as left ${figure(card.left_error_deg, 'cam_deg', { sign: true })}`
          }.`}
    </p>
  );
}

/** How the job came out, in a sentence and in verdicts. `children`: what can be done from here. */
export function JobHead({ card, children }: { card: JobCard; children: ReactNode }): ReactElement {
  const outcome = (column: 'first_pass' | 'as_left' | 'as_left_decision', answer: ReactNode): ReactElement => {
    const label = resultLabel('outcomes', column);
    return (
      <div>
        <dt title={label.meaning}>{label.text}</dt>
        <dd>{answer}</dd>
      </div>
    );
  };
  return (
    <section className="section" aria-labelledby="job">
      <h1 id="job">Job {card.job_id}</h1>
      <Sentence card={card} />
      {card.newer_revision === null ? null : (
        <Note warm>
          Revision {card.newer_revision} of {card.spec_id} was already valid on the day received, but the job was worked
          to revision {card.spec_revision}. The limits here are those of revision {card.spec_revision}.
        </Note>
      )}
      <dl className="facts">
        {outcome('first_pass', <FirstPass answer={card.first_pass} />)}
        {outcome('as_left', <Verdict verdict={card.as_left} />)}
        {outcome('as_left_decision', <Verdict verdict={card.as_left_decision} />)}
      </dl>
      {children}
    </section>
  );
}
