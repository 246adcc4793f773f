import { createHash } from 'node:crypto';
import { readFile, rename } from 'node:fs/promises';
import { join, resolve, sep } from 'node:path';
import type { LogFile } from '../../log/inspect';
import { UsageError, type Asked, type ByPartition } from '../arguments';
import { added, countLines, figure, type Counts } from '../counts';
import { filesIn } from '../folder';
import { countsOf, openPrepared, told } from '../log';
import { mappingSays, mappingsAt, prepare, type NamedMapping } from '../mapped';
import { listings, writeTable } from '../write';
import { lookAcross, strangers } from './across';
import { basisOf, doneIn, inputOf, sameBasis, type Input } from './done';
import type { Outcome, Task } from './one';
import { only, planOf, type Partition, type Plan } from './plan';
import { atOnce, inProcess, Workshops } from './pool';
import { look } from './seen';

/** A log too large for one database, a partition at a time and several at once. */

export const EXIT_FAILED = 1;
export const EXIT_ACROSS = 3;

interface Result {
  readonly partition: string;
  readonly counts: Counts | null;
}

/** `work` does one partition: in a process of its own, so that what goes wrong with it ends there. */
export async function byPartition(
  { from, to, mappings: paths }: Asked,
  how: ByPartition,
  at: string,
  work: (task: Task) => Promise<Outcome> = inProcess,
): Promise<number> {
  const mappings = await mappingsAt(paths);
  const files = await filesIn(from);
  const plan = planOf(await look(files, mappings));
  const picked = only(plan.partitions, how.only);
  if (picked.length === 0) {
    throw new UsageError(`No partition of ${from} is ${how.only.join(' ')}. --list names them.`);
  }
  if (how.list) {
    console.log(picked.map(({ name }) => name).join('\n'));
    return 0;
  }
  apart(from, to);
  await tellIdle(files, mappings);
  for (const file of plan.unused) {
    console.error(`${file.name}: It holds no table of a log and lies in no partition; it was not used.`);
  }
  const whole = picked.length === plan.partitions.length;
  const shared = await Promise.all(plan.shared.map(inputOf));
  const results = await workAll({ from, to, paths, how, at, work, picked, shared, plan, order: files });
  const done = results.flatMap(({ counts }) => (counts === null ? [] : [counts]));
  const sheets = whole ? [await writeShared(plan.shared, mappings, to, at)] : [];
  const failed = results.length - done.length;
  const across =
    whole && failed === 0
      ? await lookAcross(
          to,
          picked.map(({ name }) => name),
        )
      : [];
  const strange = whole
    ? await strangers(
        to,
        picked.map(({ name }) => name),
      )
    : [];
  for (const line of [...across, ...strange]) console.error(line);
  console.log(
    [
      `Partitions: ${done.length} done, ${failed} failed`,
      ...countLines(added([...done, ...sheets])),
      `Results written to ${to}`,
    ].join('\n'),
  );
  if (failed > 0) return EXIT_FAILED;
  return across.length > 0 ? EXIT_ACROSS : 0;
}

/** Results within the log would be taken for a part of it by the next run. */
function apart(from: string, to: string): void {
  const [log, out] = [resolve(from), resolve(to)];
  if (out === log || out.startsWith(log + sep) || log.startsWith(out + sep)) {
    throw new UsageError('--in and --out must not lie within each other.');
  }
}

async function tellIdle(files: readonly LogFile[], mappings: readonly NamedMapping[]): Promise<void> {
  if (mappings.length === 0) return;
  for (const named of (await prepare(files, mappings)).idle) console.error(mappingSays(named));
}

interface Work {
  readonly from: string;
  readonly to: string;
  readonly paths: readonly string[];
  readonly how: ByPartition;
  readonly at: string;
  readonly work: (task: Task) => Promise<Outcome>;
  readonly picked: readonly Partition[];
  readonly shared: readonly Input[];
  readonly plan: Plan;
  readonly order: readonly LogFile[];
}

async function workAll({
  from,
  to,
  paths,
  how,
  at,
  work,
  picked,
  shared,
  plan,
  order,
}: Work): Promise<readonly Result[]> {
  const workshops = await Workshops.beside(to);
  const hashes = await Promise.all(
    paths.map(async (path) =>
      createHash('sha256')
        .update(await readFile(path))
        .digest('hex'),
    ),
  );
  const results: Result[] = [];
  const tell = (partition: string, counts: Counts | null, says: string): void => {
    results.push({ partition, counts });
    const line = `${partition}: ${says} [${results.length} of ${picked.length}]`;
    if (counts === null) console.error(line);
    else console.log(line);
  };
  await atOnce(picked, how.processes, async ({ name, files }) => {
    const basis = basisOf(await Promise.all(files.map(inputOf)), shared, { csv: how.csv, mappings: hashes });
    const place = join(to, name);
    const earlier = await doneIn(place);
    if (earlier !== null && sameBasis(earlier.basis, basis)) {
      for (const remark of earlier.remarks) console.error(remark);
      tell(name, earlier.counts, 'unchanged');
      return;
    }
    const all = new Set([...files, ...plan.shared]);
    const task: Task = {
      partition: name,
      from,
      files: order.filter((file) => all.has(file)).map((file) => file.name),
      mappings: [...paths],
      basis,
      threads: how.threads,
      memoryMb: how.memoryMb,
      workshop: await workshops.clear(name),
      to: place,
      at,
    };
    const outcome = await work(task);
    if (!outcome.ok) {
      await workshops.clear(name);
      tell(name, null, `failed: ${outcome.reason}${earlier === null ? '' : ' Its earlier results still stand.'}`);
      return;
    }
    for (const remark of outcome.remarks) console.error(remark);
    const { jobs, read, setAside } = outcome.counts;
    tell(
      name,
      outcome.counts,
      `done, ${figure(jobs)} jobs, ${figure(read)} rows, ${figure(setAside)} set aside; ${figure(outcome.peakMb)} MB of memory at most`,
    );
  });
  await workshops.close();
  return results;
}

/** What became of the sheets that all partitions share, told once; no partition's listings hold them. */
async function writeShared(
  files: readonly LogFile[],
  mappings: readonly NamedMapping[],
  to: string,
  at: string,
): Promise<Counts> {
  const log = await openPrepared((await prepare(files, mappings)).files, at);
  for (const line of told(log.files)) console.error(line);
  for (const [name, sql] of listings()) {
    // Named apart from the partitions' own, so that a pattern which takes those in does not meet it.
    const { name: file } = await writeTable(log.db, [`shared_${name}.unfinished`, sql], 'parquet', to);
    await rename(join(to, file), join(to, `shared_${name}.parquet`));
  }
  const counts = await countsOf(log, log.files);
  await log.db.close();
  return counts;
}
