import { fork } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { caseOf, faultOf, hearingFalls } from './cases';
import { readerNames, type ReaderName } from './readers';

/**
 * The long run: `npm run fuzz -- --cases 20000 [--seed 1]`. A few hundred cases a process, so that one that dies or hangs is told by
 * its number and the run goes on behind it. `--case N` with the seed does one again. Failing inputs lie in test-results/fuzz.
 */

const { values } = parseArgs({
  options: {
    cases: { type: 'string', default: '2000' },
    from: { type: 'string', default: '0' },
    seed: { type: 'string' },
    case: { type: 'string' },
  },
});
const seed = Number(values.seed ?? Date.now() % 1_000_000);
const TO = 'test-results/fuzz';
const CASES_A_PROCESS = 250;
/** A case takes some milliseconds; on a busy machine a hundred times as much. */
const HANGS_AFTER_MS = 60_000;
/** A process that shares a busy machine can take minutes to load the readers; no case is under way then. */
const STARTS_WITHIN_MS = 600_000;

const message = z.object({ number: z.int(), reader: z.enum(readerNames), fault: z.string().nullable().optional() });

interface Done {
  readonly next: number;
  readonly fault: { readonly number: number; readonly reader: ReaderName; readonly says: string } | null;
}

function some(from: number, to: number, tell: (reader: ReaderName) => void): Promise<Done> {
  return new Promise((resolve) => {
    let under: { number: number; reader: ReaderName } | null = null;
    let done = from;
    let found: Done['fault'] = null;
    const child = fork('tests/fuzz/some.ts', [String(seed), String(from), String(to)], {
      execArgv: ['--import', 'tsx', '--disable-warning=ExperimentalWarning'],
    });
    const hung = (): void => {
      if (under !== null) found = { ...under, says: `hung for ${HANGS_AFTER_MS / 1000} s` };
      child.kill('SIGKILL');
    };
    let watch = setTimeout(hung, STARTS_WITHIN_MS);
    child.on('message', (sent) => {
      const { number, reader, fault } = message.parse(sent);
      clearTimeout(watch);
      watch = setTimeout(hung, HANGS_AFTER_MS);
      if (fault === undefined) {
        under = { number, reader };
        return;
      }
      under = null;
      done = number + 1;
      tell(reader);
      if (fault !== null) {
        found = { number, reader, says: fault };
        child.kill('SIGKILL');
      }
    });
    child.on('exit', (code) => {
      clearTimeout(watch);
      if (under !== null) found ??= { ...under, says: `the process died (${String(code)})` };
      resolve({ next: found === null ? done : found.number + 1, fault: found });
    });
  });
}

async function long(from: number, to: number): Promise<number> {
  const tally = new Map<ReaderName, number>();
  let faults = 0;
  for (let next = from; next < to;) {
    const before = next;
    const { next: after, fault } = await some(next, Math.min(to, next + CASES_A_PROCESS), (reader) => {
      tally.set(reader, (tally.get(reader) ?? 0) + 1);
    });
    next = after;
    if (fault !== null) {
      faults += 1;
      mkdirSync(TO, { recursive: true });
      const name = join(TO, `${seed}-${fault.number}-${fault.reader}`);
      writeFileSync(name, (await caseOf(seed, fault.number)).bytes);
      writeFileSync(`${name}.txt`, `${fault.says}\n`);
      console.log(`case ${fault.number} (${fault.reader}): ${fault.says.split('\n')[0] ?? ''}`);
    } else if (next === before) throw new Error(`No case was done from ${next} on`);
    if (Math.floor(next / 1000) > Math.floor(before / 1000)) console.log(`${next} of ${to}`);
  }
  console.log([...tally].map(([reader, count]) => `${reader} ${count}`).join(', '));
  console.log(`seed ${seed}: ${to - from} cases, ${faults} at fault`);
  return faults;
}

const from = Number(values.from);
console.log(`seed ${seed}`);
if (values.case === undefined) {
  process.exitCode = (await long(from, from + Number(values.cases))) === 0 ? 0 : 1;
} else {
  const made = await caseOf(seed, Number(values.case));
  mkdirSync(TO, { recursive: true });
  writeFileSync(join(TO, `${seed}-${values.case}-${made.reader}`), made.bytes);
  console.log(made.reader, (await hearingFalls(() => faultOf(made))) ?? 'nothing is at fault');
  process.exit();
}
