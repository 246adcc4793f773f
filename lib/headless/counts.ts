import { sum } from 'd3-array';
import { z } from 'zod';

/** A run in numbers: files and rows read, jobs worked out, and how many of them passed first time. */

const count = z.int().nonnegative();
export const countsSchema = z.object({
  files: count,
  read: count,
  accepted: count,
  setAside: count,
  toMend: count,
  repeated: count,
  replaced: count,
  mended: count,
  jobs: count,
  firstPass: count,
  counted: count,
});
export type Counts = z.infer<typeof countsSchema>;

export function added(all: readonly Counts[]): Counts {
  const over = (name: keyof Counts): number => sum(all, (counts) => counts[name]);
  return {
    files: over('files'),
    read: over('read'),
    accepted: over('accepted'),
    setAside: over('setAside'),
    toMend: over('toMend'),
    repeated: over('repeated'),
    replaced: over('replaced'),
    mended: over('mended'),
    jobs: over('jobs'),
    firstPass: over('firstPass'),
    counted: over('counted'),
  };
}

const plain = new Intl.NumberFormat('en-US');
export const figure = (value: number): string => plain.format(value);

export const countLines = (counts: Counts): string[] => [
  `Files read: ${counts.files}`,
  `Rows read: ${figure(counts.read)}, accepted: ${figure(counts.accepted)}, set aside: ${figure(counts.setAside)}`,
  `Set aside: ${figure(counts.toMend)} to mend, ${figure(counts.repeated)} there already, ` +
    `${figure(counts.replaced)} replaced by a later row, ${figure(counts.mended)} mended`,
  `Jobs calculated: ${figure(counts.jobs)}`,
  `First pass: ${figure(counts.firstPass)} of ${figure(counts.counted)} counted, ${figure(counts.jobs - counts.counted)} not counted`,
];
