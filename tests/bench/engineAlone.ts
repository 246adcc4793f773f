import { fork, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';

const hand = (folder: string, place: number, of: number): ChildProcess =>
  fork('tests/bench/engineHand.ts', [folder, String(place), String(of)], { execArgv: ['--import', 'tsx'] });

/** Milliseconds that the engine alone takes over a log, its batches shared out over so many processes at once. */
export async function engineAlone(folder: string, processes: number): Promise<number> {
  const hands = Array.from({ length: processes }, (_, place) => hand(folder, place, processes));
  await Promise.all(hands.map((child) => once(child, 'message')));
  const start = performance.now();
  const done = hands.map((child) => once(child, 'message'));
  for (const child of hands) child.send('go');
  await Promise.all(done);
  return performance.now() - start;
}
