import { z } from 'zod';
import { codes } from '../../calc/layout';
import type { FindingWord } from '../../calc/proof/findings';
import { question } from '../question';
import { int, maybeInt, maybeReal, maybeText, text, ROWS_OF_THIS_JOB, THIS_JOB } from './rows';

const row = z.object({
  finding: z.enum(codes.finding),
  severity: z.enum(codes.severity),
  /** -1 for the job as a whole. */
  run: int,
  test_point: maybeText,
  /** 0 for none or several. */
  element: int,
  stated: maybeReal,
  recomputed: maybeReal,
  rows: int,
});
export type JobFinding = z.infer<typeof row>;

/** What does not agree in one job, what breaks the proof first. */
export const jobFindings = question<{ readonly id: string }, JobFinding>(
  'jobFindings',
  row,
  (args) => [args.id],
  `select finding, severity, run, test_point, element, stated, recomputed, rows from findings where ${THIS_JOB}
  order by case severity when 'breaks the proof' then 0 when 'weakens the proof' then 1 else 2 end,
    finding, run, point, element`,
);

const list = (words: readonly FindingWord[]): string => words.map((word) => `'${word}'`).join(', ');
const atElement = 'f.run = r.run and (f.element = 0 or f.element = r.element)';

/** Findings whose evidence is an excluded draw, by the reason of its exclusion. */
const excluded = {
  'draw before the rack was set': 'rack outside its window',
  'speed outside its window': 'speed outside its window',
  'fluid outside its window': 'fluid temperature outside its window',
  'feed outside its window': 'feed pressure outside its window',
} as const satisfies Partial<Record<FindingWord, (typeof codes.exclusion)[number]>>;

/** Rows of the log that each finding rests on: its table, and how its rows are found. */
const evidence: readonly (readonly [table: string, findings: readonly FindingWord[], where: string])[] = [
  [
    'shims',
    [
      'shim change stated with the wrong sign',
      'shim changed the wrong way',
      'shim change misreckoned',
      'split pair found uneven',
      'split pair differs',
      'shim changed after the last closure',
      'shim changed after the last draw',
    ],
    atElement,
  ],
  [
    'closures',
    ['gauge past its date', 'gauge without calibration', 'element missing', 'lift not read'],
    `f.point < 0 and ${atElement}`,
  ],
  [
    'draws',
    [
      'delivery misreckoned',
      'gauge past its date',
      'gauge without calibration',
      'element missing',
      'test points out of order',
      'runs out of order',
      'window not recorded',
    ],
    `f.point = r.point and ${atElement}`,
  ],
  ['barrels', ['barrel turned after the last draw'], atElement],
  [
    'draws',
    Object.keys(excluded) as (keyof typeof excluded)[],
    `f.run = r.run and f.point = r.point and exists (select 1 from excluded e where e.job_no = r.job_no and e.run = r.run
      and e.point = r.point and e.element = r.element and e.repeat = r.repeat
      and e.reason = case f.finding ${Object.entries(excluded)
        .map(([finding, reason]) => `when '${finding}' then '${reason}'`)
        .join(' ')} end)`,
  ],
  ['jobs', ['stated pass, recomputed out', 'stated fail, recomputed in', 'superseded revision'], 'true'],
];

const evidenceRow = z.object({
  finding: z.enum(codes.finding),
  run: int,
  test_point: maybeText,
  element: int,
  file: text,
  /** The lowest of the file's rows, and how many there are. */
  row_no: int,
  last_row_no: maybeInt,
  n: int,
});
export type FindingEvidence = z.infer<typeof evidenceRow>;

/** In which rows of which files each finding of a job stands; a finding of what is missing has none. */
export const jobFindingRows = question<{ readonly id: string }, FindingEvidence>(
  'jobFindingRows',
  evidenceRow,
  (args) => [args.id],
  `with here as (select * from findings where ${THIS_JOB}),
  found as (${evidence
    .map(
      ([table, findings, where]) => `select f.finding, f.run, f.point, f.test_point, f.element, r.source_no, r.row_no
      from here f join ${table} r using (job_no) where r.${ROWS_OF_THIS_JOB} and f.finding in (${list(findings)}) and ${where}`,
    )
    .join(' union ')})
  select finding, run, test_point, element, s.file, min(row_no)::integer as row_no, max(row_no)::integer as last_row_no,
    count(*)::integer as n
  from found join sources s using (source_no)
  group by finding, run, point, test_point, element, s.file
  order by finding, run, point, element, s.file`,
);
