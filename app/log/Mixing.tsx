'use client';

import type { ReactElement } from 'react';
import { useLog, type Question } from '../_log/useLog';
import { Over } from '../_shell/Over';

type Asked = Extract<Question, { about: 'mixing' }>;

/** What closing the demo log takes along, and what it leaves. */
function closes({ own, written }: Asked['mixing']): string {
  const goes = written ? ' Notes and quotes that were written on it go with it.' : '';
  switch (own) {
    case 'none':
      return `The demo log can be opened again at any time.${goes}`;
    case 'kept':
      return 'Files of your own are in it already. They are kept, and stay open when it is closed.';
    case 'not kept':
      return `Files of your own are in it already. Those that are not kept in this browser close with it; load them again.${goes}`;
  }
}

function OwnFiles({ mixing, answer }: Omit<Asked, 'about'>): ReactElement {
  const keep = (): void => {
    answer('keep');
  };
  return (
    <Over
      title="The demo log is open."
      says="It is of an invented shop. With your files added to it, both count in every figure. Nothing is taken in until you answer."
      onLeave={keep}
    >
      <div className="row">
        <button
          type="button"
          className="primary"
          onClick={() => {
            answer('close');
          }}
        >
          Close the demo log and load these files
        </button>
        <button
          type="button"
          onClick={() => {
            answer('add');
          }}
        >
          Add them to the demo log
        </button>
        <button type="button" onClick={keep}>
          Leave both as they are
        </button>
      </div>
      <p className="quiet">{closes(mixing)} Leaving both as they are takes in nothing of the files.</p>
    </Over>
  );
}

function DemoLog({ answer }: Pick<Asked, 'answer'>): ReactElement {
  const keep = (): void => {
    answer('keep');
  };
  return (
    <Over
      title="A log of your own is open."
      says="The demo log is of an invented shop. Added to your own log, it counts in every figure. Nothing is taken in until you answer."
      onLeave={keep}
    >
      <div className="row">
        <button type="button" className="primary" onClick={keep}>
          Leave the demo log closed
        </button>
        <button
          type="button"
          onClick={() => {
            answer('add');
          }}
        >
          Add the demo log to your own
        </button>
      </div>
    </Over>
  );
}

/** Asks, wherever the person is, before the demo log and files of their own come together in one log. */
export function Mixing(): ReactElement | null {
  const { state } = useLog();
  if (state.phase !== 'asking' || state.question.about !== 'mixing') return null;
  const { mixing, answer } = state.question;
  return mixing.coming === 'demo log' ? <DemoLog answer={answer} /> : <OwnFiles mixing={mixing} answer={answer} />;
}
