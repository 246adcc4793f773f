import type { ReplaceAnswer } from '../../lib/store/load';
import type { Replacements } from '../../lib/store/replacements';
import type { MixAnswer, Mixing } from './apart';
import type { LogState, Question } from './states';

interface Told {
  readonly read: () => { readonly state: LogState };
  readonly tell: (change: { readonly state: LogState }) => void;
}

/** The questions that a load puts to the person, wherever they are. */
export class Asking {
  constructor(private readonly session: Told) {}

  /** Asks whether the demo log and files of a shop's own may come together; the log is `then` as it was. */
  mixing(mixing: Mixing, then: LogState): Promise<MixAnswer> {
    return this.answered((answer) => ({ about: 'mixing', mixing, answer }), then);
  }

  /** Asks whether rows of the log may be replaced; a load that is called off keeps it. */
  rows(replacements: Replacements, signal: AbortSignal): Promise<ReplaceAnswer> {
    const then: LogState = { phase: 'loading', file: null, share: null, step: 'Taking the files in' };
    return new Promise((resolve) => {
      signal.addEventListener('abort', () => {
        resolve('keep');
      });
      void this.answered<ReplaceAnswer>((answer) => ({ about: 'rows', replacements, answer }), then).then(resolve);
    });
  }

  private answered<Answer>(ask: (answer: (given: Answer) => void) => Question, then: LogState): Promise<Answer> {
    return new Promise((resolve) => {
      const question = ask((given) => {
        const { state } = this.session.read();
        if (state.phase !== 'asking' || state.question !== question) return;
        this.session.tell({ state: then });
        resolve(given);
      });
      this.session.tell({ state: { phase: 'asking', question } });
    });
  }
}
