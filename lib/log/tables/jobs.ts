import { choice, date, integer, moment, number, text, yesNo } from '../column';
import { table } from '../table';

export const workTypes = ['test', 'recalibrate', 'rebuild'] as const;

export const jobs = table(
  'jobs',
  'one pump on the bench once',
  ['job_id'],
  {
    job_id: text('The job card number', 60).required,
    pump_serial: text('Serial number on the pump', 60).required,
    pump_model: text('Pump model', 60).required,
    spec_id: text('Specification sheet that was worked to').required,
    spec_revision: text('Revision of that sheet', 40).required,
    received_on: date('Day the pump came in').required,
    finished_on: date('Day the work was finished').optional,
    work_type: choice(workTypes, 'What was asked for').required,
    warranty: yesNo('Whether it is a warranty job').optional,
    claim_no: text('Number of the warranty claim that the job is part of', 60).optional,
    complaint: text('Why the pump came in', 200).optional,
    technician: text('Who worked on it (a mark or number will do)', 60).optional,
    bench_id: text('Test bench', 60).optional,
    engine_hours: number('hours', 0, 500000, "Hours on the engine's meter").optional,
    bench_hours: number('hours', 0, 1000, 'Hours on the bench').optional,
    labour_hours: number('hours', 0, 2000, 'Hours of labour in all').optional,
    parts_cost: number('money', 0, 1e7, 'Cost of parts').optional,
    currency: text('Currency code, three letters', 3).optional,
    branch: text('Branch of the shop', 60).optional,
    stated_result: choice(['pass', 'fail'], 'Result as the job card states it').optional,
    note: text('Anything else on the card', 4000).optional,
  },
  [{ columns: ['spec_id', 'spec_revision'], table: 'specs' }],
);

const reading = {
  job_id: text('The job card number', 60).required,
  run: integer(0, 60, '0 as received, 1 first measurement after assembly, 2 and on after corrections').required,
};
const element = integer(1, 12, 'Element, counted from the drive end');
const ofJob = [{ columns: ['job_id'], table: 'jobs' }] as const;

export const closures = table(
  'closures',
  "one element's port closure in one run",
  ['job_id', 'run', 'element'],
  {
    ...reading,
    element: element.required,
    cam_deg: number('cam_deg', -720, 720, 'Camshaft angle at which the port closes, from the reference').required,
    lift_mm: number('mm', 0, 30, 'Plunger lift from bottom dead centre at closure (the reference element at least)')
      .optional,
    preload_mm: number('mm', 0, 10, 'Gauge preload still contained in the lift').optional,
    instrument_id: text('Gauge used', 60).optional,
  },
  ofJob,
);

export const shims = table(
  'shims',
  "one element's stack, before and after",
  ['job_id', 'run', 'element'],
  {
    ...reading,
    element: element.required,
    before_mm: number('mm', 0, 30, 'Stack before the change').required,
    after_mm: number('mm', 0, 30, 'Stack after the change').optional,
    before_second_mm: number('mm', 0, 30, 'Second half of a split pair, before').optional,
    after_second_mm: number('mm', 0, 30, 'Second half of a split pair, after').optional,
    batch: text('Batch that the new shims came from', 60).optional,
    stated_change_mm: number('mm', -10, 10, 'Change as the job card states it').optional,
  },
  ofJob,
);

export const draws = table(
  'draws',
  'one element at one test point, once',
  ['job_id', 'run', 'test_point', 'repeat', 'element'],
  {
    ...reading,
    test_point: text('Name of the test point', 60).required,
    repeat: integer(1, 50, 'Which draw it is at this point').required,
    element: element.required,
    volume_cm3: number('cm3', 0, 5000, 'Volume caught in the graduate').required,
    strokes: integer(1, 100000, 'Strokes drawn over', 'strokes').required,
    speed_rpm: number('rpm', 0, 10000, 'Pump speed read').optional,
    rack_mm: number('mm', -10, 60, 'Rack travel read').optional,
    fluid_c: number('celsius', -40, 150, 'Fluid temperature read').optional,
    feed_kpa: number('kpa', 0, 3000, 'Feed pressure read').optional,
    stated_mm3_per_stroke: number('mm3_per_stroke', 0, 5000, 'Delivery as the job card states it').optional,
    taken_at: moment('When it was drawn').optional,
    instrument_id: text('Graduate used', 60).optional,
  },
  ofJob,
);

export const barrels = table(
  'barrels',
  "one element's barrel turned",
  ['job_id', 'run', 'element'],
  {
    ...reading,
    element: element.required,
    rotation_deg: number('deg', -90, 90, 'Rotation; positive raises delivery').required,
    scribed: yesNo('Whether the old position was scribed').optional,
  },
  ofJob,
);

export const governor = table(
  'governor',
  'one reading of governor or accessory',
  ['job_id', 'run', 'check_id', 'speed_rpm', 'boost_kpa', 'lever'],
  {
    ...reading,
    check_id: text('Name of the check', 60).required,
    speed_rpm: number('rpm', 0, 10000, 'Pump speed read').optional,
    rack_mm: number('mm', -10, 60, 'Rack travel read').optional,
    boost_kpa: number('kpa', 0, 1000, 'Boost pressure read').optional,
    lever: text('Lever position', 40).optional,
    delivery_mm3: number('mm3_per_stroke', 0, 2000, 'Mean delivery read, where the check is of deliveries').optional,
  },
  ofJob,
);

export const parts = table(
  'parts',
  'one line of parts fitted',
  ['job_id', 'element', 'part'],
  {
    job_id: reading.job_id,
    element: element.optional,
    part: text('What was fitted', 120).required,
    quantity: number('count', 0, 10000, 'How many').required,
    cost: number('money', 0, 1e7, 'Cost of the line').optional,
  },
  ofJob,
);
