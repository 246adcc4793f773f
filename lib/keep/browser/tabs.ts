import { z } from 'zod';

/** Several tabs on one kept log: one of them writes, the others read and are told of changes. */

const NAME = 'shimbook.log';
/** A tab that is being reloaded gives its turn back a moment after the new page asks for it. */
const PATIENCE_MS = 400;

/**
 * Asks for the right to write, which is held until the page is closed. Answers whether it was free; where it was not,
 * `onTurn` is called once the tab that has it is closed.
 */
export function takePen(onTurn: () => void): Promise<boolean> {
  // Not there over plain http, where nothing is kept that two tabs could write to.
  const locks = (navigator as Partial<Navigator>).locks;
  if (locks === undefined) return Promise.resolve(true);
  return new Promise((answer) => {
    let waited = false;
    const patience = setTimeout(() => {
      waited = true;
      answer(false);
    }, PATIENCE_MS);
    locks
      .request(NAME, () => {
        clearTimeout(patience);
        if (waited) onTurn();
        else answer(true);
        // Held as long as the page lives.
        return new Promise<never>(() => undefined);
      })
      .catch(() => {
        clearTimeout(patience);
        answer(true);
      });
  });
}

const changedSchema = z.object({ generation: z.int() });

/** Tells other tabs that what is kept has changed, and hears it from them. */
export class ChangeBell {
  private readonly channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel(NAME) : null;

  constructor(heard: (generation: number) => void) {
    this.channel?.addEventListener('message', (event: MessageEvent<unknown>) => {
      const told = changedSchema.safeParse(event.data);
      if (told.success) heard(told.data.generation);
    });
  }

  ring(generation: number): void {
    this.channel?.postMessage({ generation });
  }
}
