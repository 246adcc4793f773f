import { sum } from 'd3-array';
import { z } from 'zod';

/** A run in numbers: files and rows read, jobs worked out, and how many of them passed first time. */

const count = z.int().nonnegative();
export const countsSchema = z.object({
  files: count,
  read: count,
  accepted: count,
  setAside: count,
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
    jobs: over('jobs'),
    firstPass: over('firstPass'),
    counted: over('counted'),
  };
}

const plain = new Intl.NumberFormat('en-US');
export const figure = (value: number): string => plain.format(value);

export const countLines = ({ files, read, accepted, setAside, jobs, firstPass, counted }: Counts): string[] => [
  `Files read: ${files}`,
  `Rows read: ${figure(read)}, accepted: ${figure(accepted)}, set aside: ${figure(setAside)}`,
  `Jobs calculated: ${figure(jobs)}`,
  `First pass: ${figure(firstPass)} of ${figure(counted)} counted, ${figure(jobs - counted)} not counted`,
];
