import type { Unit } from '../units/units';
import { auditTerms } from './auditTerms';
import { term, type Label } from './label';
import { roomTerms } from './roomTerms';
import { samePumpTerms } from './samePumpTerms';
import { trendTerms } from './trendTerms';

/** Words on the screens that are no column of a table: verdicts, figures of the shop, and the names of our pictures. */
export const terms = {
  ...samePumpTerms,
  // Verdicts and answers: their texts are the words that the engine answers with.
  in: term('in', 'trade', 'The reading lies within its limits, the limits themselves included.'),
  out: term('out', 'trade', 'The reading lies outside its limits.'),
  cannotTell: term(
    'cannot tell',
    'standard',
    "The reading lies so near to a limit that its gauge's uncertainty does not let it be decided (ISO 14253-1).",
  ),
  notMeasured: term('not measured', 'ours', 'No reading that counts was taken.'),
  yes: term('yes', 'ours', 'Everything asked for was in at the first measurement after assembly.'),
  no: term('no', 'ours', 'Something asked for was out at the first measurement after assembly.'),
  notCounted: term(
    'not counted',
    'ours',
    'A stage that the specification asks for has no complete first measurement, so the job neither passed nor failed it.',
  ),
  // Runs
  asReceived: term('as received', 'trade', 'Run 0: measured before anything was changed.'),
  firstMeasurement: term('first measurement', 'ours', 'Run 1: measured after assembly, before any correction.'),
  correction: term('after correction', 'trade', 'Run 2 and on: measured again after a change.'),
  asLeft: term('as left', 'trade', 'The last run measured.'),
  // Rates
  firstPass: term(
    'First pass',
    'trade',
    'Share of the counted jobs in which every stage asked for was in at the first measurement after assembly.',
    'percent',
  ),
  interval: term(
    'interval',
    'standard',
    'Where the true rate may well lie, given how many jobs were counted: the Wilson score interval at 95 % confidence.',
    'percent',
  ),
  counted: term('counted', 'ours', 'Jobs with an answer, yes or no; the n of a rate.', 'count'),
  lately: term('lately', 'ours', 'The twelve months up to the newest job received, by the log and not by the clock.'),
  before: term('before', 'ours', 'All of the log before those twelve months.'),
  clearChange: term(
    'clear change',
    'ours',
    'The two intervals do not overlap. Where they do, the page says that there is no clear change.',
  ),
  notEnough: term('not enough jobs to say', 'ours', 'Fewer than ten counted jobs on one side of a comparison.'),
  overall: term('all models', 'ours', 'All picked jobs together.'),
  // Rework
  reworkJobs: term('jobs', 'ours', 'Jobs whose shim plan reaches tolerance in every run.', 'count'),
  reworkedJobs: term(
    'corrected',
    'ours',
    'Those of them in which a stack or a screw was changed after the first measurement.',
    'count',
  ),
  barrelsDone: term(
    'changed',
    'trade',
    'Barrels, tappets or tappet screws changed after the first measurement.',
    'count',
  ),
  barrelsEnough: term('enough', 'ours', 'How many the least-rework plan from the first measurement changes.', 'count'),
  barrelsSpare: term('need not have been', 'ours', 'Changed although the plan did without.', 'count'),
  movedDone: term('moved', 'ours', 'Sum of the sizes of the changes made.', 'shim'),
  movedEnough: term('enough to move', 'ours', 'Sum of the sizes of the changes of that plan.', 'shim'),
  // Findings
  findingJobs: term('jobs with it', 'ours', 'Jobs in which the finding stands.', 'count'),
  firstSeen: term('first seen', 'ours', 'Day on which the first pump with the finding came in.'),
  lastSeen: term('last seen', 'ours', 'Day on which the last pump with the finding came in.'),
  // Recurring faults
  certain: term(
    'certain',
    'ours',
    'A fault whose difference is surely larger than what matters: its whole interval lies beyond that, with every comparison of the search allowed for.',
  ),
  worthALook: term(
    'worth a look',
    'ours',
    'A difference that is more than chance alone would show, and that may still be too small to matter.',
  ),
  faultSide: term(
    'group or rest',
    'ours',
    'Those that have in common what the finding names, and the rest that are like them.',
  ),
  faultValue: term('share or middle', 'ours', 'Of a fault its share of the jobs, of a reading its middle (median).'),
  // Spread of many readings
  median: term('median', 'standard', 'Half of the readings lie below it, half above.'),
  middleHalf: term(
    'middle half',
    'standard',
    'From the lower to the upper quartile: half of the readings lie within it.',
  ),
  band: term('10 to 90 %', 'standard', 'From the 10th to the 90th percentile: eight readings in ten lie within it.'),
  quarter: term('quarter', 'ours', 'Three months by the day received, beginning in January, April, July and October.'),
  n: term('n', 'standard', 'How many readings a figure rests on.', 'count'),
  share: term('out of tolerance', 'trade', 'Share of the readings with a verdict that are out.', 'percent'),
  // Shims and phasing
  changeMade: term(
    'change made',
    'trade',
    'New stack less old stack, of a split pair the mean of its halves; plus is added.',
    'shim',
  ),
  changeNeeded: term(
    'change needed',
    'trade',
    'Change of the stack that takes the phase error away while the reference stays; plus is add, minus is remove.',
    'shim',
  ),
  stackBefore: term('stack before', 'trade', 'Shim stack found before the first change of the job.', 'shim'),
  stackAfter: term('stack after', 'trade', 'Shim stack after the last change of the job.', 'shim'),
  phaseError: term(
    'phase error',
    'trade',
    'Port closure less its nominal angle after the reference; minus is early, plus is late.',
    'cam_deg',
  ),
  tolerance: term('tolerance', 'trade', 'Phase error allowed either way by the specification.', 'cam_deg'),
  stacks: term('stack', 'trade', 'Shim stack before and after the change made after the run.', 'shim'),
  bandAllowed: term('band', 'trade', 'From the lowest to the highest value allowed.'),
  // Trying figures
  tried: term('tried, not logged', 'ours', 'Worked out from figures typed on the page; the log is not changed.'),
  logged: term('as logged', 'ours', 'Worked out from the readings as they stand in the log.'),
  // Wear
  retention: term(
    'low-speed retention',
    'ours',
    'Delivery at low speed over delivery at rated speed at the same rack. It falls as plungers and barrels wear.',
    'ratio',
  ),
  visit: term('visit', 'ours', 'One job of one serial number, by the day received.'),
  retentionDeficit: term(
    'retention deficit',
    'ours',
    'How much less an element keeps at low speed than its baseline: 1 less retention over baseline. Below 0 where it keeps more.',
    'percent',
  ),
  baseline: term(
    'baseline',
    'ours',
    "The specification's retention ratio; where it states none, the median of as-left runs of the model after new plungers and barrels.",
    'percent',
  ),
  baselineRuns: term(
    'as-left runs',
    'ours',
    'Jobs that left with new plungers and barrels and were drawn at low and at rated speed; fewer than five give no baseline.',
    'count',
  ),
  lightScatter: term(
    'light-draw scatter',
    'ours',
    'Standard deviation of the elements at the light test point, else at the smallest rack, in percent of their mean.',
    'percent',
  ),
  rotationUsed: term(
    'rotation used',
    'ours',
    'All turns of the element in the log since its last new plunger and barrel, added with their sign; plus raises delivery.',
    'deg',
  ),
  // Returns
  outJobs: term('jobs', 'ours', 'Jobs whose pump left before the last day of the log.', 'count'),
  cameBack: term(
    'came back',
    'ours',
    'Jobs after which the same serial number came in again, rounds of the benches left out.',
    'count',
  ),
  monthsToReturn: term(
    'half are back within',
    'ours',
    'Median time from the day a job was finished to the day the same serial number came in again, pumps still out counted as still out (Kaplan-Meier), with its interval at 95 %; in months of 30.4 days.',
  ),
  outAfterYear: term(
    'still out after a year',
    'ours',
    'Share of pumps not yet back twelve months after the job, with its interval at 95 %.',
  ),
  atRisk: term(
    'still out and watched',
    'standard',
    'Pumps that had not come back by then and that the log still follows: the number at risk.',
    'count',
  ),
  earlyReturn: term(
    'early return',
    'ours',
    'The same serial number came in again within the chosen number of months.',
    'percent',
  ),
  unwatched: term(
    'not watched so long',
    'ours',
    'Jobs that left too short a time before the last day of the log to be counted.',
    'count',
  ),
  firstJob: term('First job', 'ours', 'The job after which the pump left.'),
  secondJob: term('Second job', 'ours', 'The next job of the same serial number that is no round of the benches.'),
  monthsOut: term('Months out', 'ours', 'From the day the first job was finished to the day the pump came in again.'),
  outReceived: term(
    'Out as received',
    'ours',
    'Stages that were out of their limits when the pump came in the second time.',
  ),
  foundSecond: term('Findings', 'ours', 'What does not agree in the second job, by the engine.'),
  // Benches and gauges
  benchOffset: term(
    'offset',
    'ours',
    'How much more a bench reads than the mean of the other benches, in percent of the delivery; plus is more.',
    'percent',
  ),
  pumpsAlike: term(
    'pumps alike',
    'ours',
    'Jobs of the same model and type of work, read as received at the base point.',
  ),
  samePumps: term('same pumps', 'ours', 'Pumps left on one bench and read as received on another.'),
  repeatReadings: term(
    'readings',
    'ours',
    'Readings of single elements that were drawn more than once within a run.',
    'count',
  ),
  repeatDraws: term('repeat draws', 'trade', 'Draws that count after the first one at a test point of a run.', 'count'),
  repeatability: term(
    'repeatability',
    'standard',
    'Standard deviation of a single draw repeated on one bench within one run.',
    'mm3_per_stroke',
  ),
  scatterOf: term('scatter of', 'ours', 'Where the scatter of readings comes from.'),
  scatterSize: term('standard deviation', 'standard', 'In percent of the delivery.', 'percent'),
  lastCalibrated: term('last calibrated', 'trade', "The newest calibration on or before the log's last day."),
  daysOver: term(
    'days to the date',
    'ours',
    "Days from the log's last day to the date due; past where that day lies behind it.",
    'count',
  ),
  gaugeStanding: term('stands', 'ours', "How the gauge stands on the log's last day."),
  gaugeJobs: term('jobs', 'ours', 'Picked jobs with a reading that names the gauge.', 'count'),
  pastJobs: term(
    'jobs past the date',
    'ours',
    'Those of them that came in on or after the date due of the calibration then in force.',
    'count',
  ),
  pastWhen: term('between', 'ours', 'First and last day on which such a job came in.'),
  // Cost of rework
  costOf: term('cost of', 'ours', 'What was done that need not have been, or was done again.'),
  timesOver: term('how many', 'ours', 'Lowest to highest number.', 'count'),
  hoursOver: term('hours', 'ours', 'Lowest to highest number of hours that went with it.', 'hours'),
  moneyOver: term('at your rate', 'ours', 'Those hours times the rate typed on the page.'),
  // Marks
  assumed: term('assumed', 'ours', 'The specification does not state this value, so a common one stands in for it.'),
  excluded: term(
    'does not count',
    'ours',
    'A draw kept and shown, but left out of means and verdicts, with its reason.',
  ),
  setAside: term('set aside', 'ours', 'A row of a file that could not be taken into the log, kept with its reason.'),
  refused: term('refused', 'ours', 'A file that could not be read at all.'),
  accepted: term('accepted', 'ours', 'A row of a file that is in the log.'),
  // Why a row was set aside
  format: term('not readable', 'ours', 'A cell is missing, is no number or date, or is beyond what is plausible.'),
  reference: term(
    'not fitting',
    'ours',
    'The row names a job, a specification or an element that the log does not have, or its cells contradict each other.',
  ),
  repeat: term('there already', 'ours', 'The same row again, word for word.'),
  replaced: term('replaced', 'ours', 'An older row for which a newer one with the same key came in.'),
  mended: term('mended', 'ours', 'A row of a mended file, loaded later, has taken its place.'),
  leftOut: term('left out', 'ours', 'A new row that was not to replace the one of the same key in the log.'),
  needsHand: term(
    'to mend',
    'ours',
    'Rows that are not in the log until someone mends them, or loads what they point to.',
  ),
  saveToMend: term('Save', 'ours', 'Saves the rows as a CSV file to be mended and loaded again.'),
  rowKey: term('Which row', 'ours', 'The key: the cells that tell one row from another.'),
  whatDiffers: term('What differs', 'ours', 'Column, what the log has, and what the new row has.'),
  inLog: term('In the log', 'ours', 'File and row that the log has it from.'),
  newRow: term('New', 'ours', 'File and row of the new one.'),
  // Files and rows
  file: term('File', 'ours', 'The file as it was named when it was loaded.'),
  table: term('Table', 'ours', 'The table of the log that the columns of a file belong to.'),
  fileFormat: term('Format', 'ours', 'CSV or Parquet.'),
  fileSize: term('Size', 'standard', 'In bytes, or in kilobytes or megabytes: thousands or millions of bytes.'),
  rowsRead: term('Read', 'ours', 'Rows read from the file: accepted and set aside together.', 'count'),
  remark: term('Remark', 'ours', 'Why a file was refused, or what else there is to say of it.'),
  loaded: term('Loaded', 'ours', 'When the file was taken into the log.'),
  fileRow: term('Row', 'ours', 'Row in the file; the header is row 1.'),
  column: term('Column', 'ours', 'The name that stands in the first row of the file.'),
  cellValue: term('Value', 'ours', 'What stands in that cell.'),
  why: term('Why', 'ours', 'The kind of reason for which a row was set aside.'),
  reason: term('Reason', 'ours', 'What is wrong with the row, in a sentence.'),
  onScreen: term('On screen', 'ours', 'How the pages call a column.'),
  needed: term('Needed', 'ours', 'Whether a row without it is set aside.'),
  meaning: term('Meaning', 'ours', 'What a column holds.'),
  readFrom: term('Read from', 'ours', 'File and row that a reading comes from.'),
  // Units shown
  metric: term('Metric', 'standard', 'Millimetres, kilopascals, degrees Celsius: the units of the log.'),
  customary: term(
    'US customary',
    'standard',
    'Inches, shims and clearances in thousandths of an inch (thou), psi, degrees Fahrenheit.',
  ),
  camDegrees: term('Camshaft degrees', 'trade', 'One turn of the pump is 360 degrees: the unit of the log.'),
  crankDegrees: term(
    'Crankshaft degrees',
    'trade',
    'Twice the camshaft degrees: for a four-stroke engine, whose pump turns at half the speed of the crankshaft.',
  ),
  camMinutes: term(
    'Camshaft degrees and minutes',
    'trade',
    'Whole camshaft degrees and minutes of arc; 60 minutes are a degree.',
  ),
  ...auditTerms,
  ...trendTerms,
  ...roomTerms,
  // Our pictures
  wheel: term(
    'degree wheel',
    'trade',
    'The closures round the camshaft. Errors are drawn larger than life, by the factor stated beside it.',
  ),
  barrelRow: term(
    'barrel row',
    'ours',
    'The elements side by side from the drive end: shim stack under each barrel, delivery over it.',
  ),
} as const satisfies Record<string, Label>;

export type Term = keyof typeof terms;

/** Why a row was set aside, by the word the store keeps. */
export const setAsideKinds = {
  format: terms.format,
  reference: terms.reference,
  repeat: terms.repeat,
  replaced: terms.replaced,
  mended: terms.mended,
  left_out: terms.leftOut,
} as const;

/** How a spread is reckoned and the unit it is in, by the basis that a specification names. */
export const spreadBases = {
  range_mm3: { text: 'largest less smallest', unit: 'mm3_per_stroke' },
  range_percent: { text: 'largest less smallest, in % of the mean', unit: 'percent' },
  deviation_mm3: { text: 'largest from the mean', unit: 'mm3_per_stroke' },
  deviation_percent: { text: 'largest from the mean, in % of it', unit: 'percent' },
  'none asked': { text: 'none asked for', unit: 'mm3_per_stroke' },
} as const satisfies Record<string, { text: string; unit: Unit }>;

/** The unit of the window that a draw missed, by the reason for which it does not count. */
export const windowUnits = {
  'rack outside its window': 'mm',
  'speed outside its window': 'rpm',
  'fluid temperature outside its window': 'celsius',
  'feed pressure outside its window': 'kpa',
} as const satisfies Record<string, Unit>;
