import { choice, date, integer, list, number, text } from '../column';
import { table } from '../table';

export const adjusters = ['barrel_shim', 'tappet_shim', 'tappet_screw'] as const;
export const purposes = ['base', 'full', 'part', 'light', 'low-speed', 'start', 'idle'] as const;
export const spreadBases = ['range_mm3', 'range_percent', 'deviation_mm3', 'deviation_percent'] as const;
export const checkKinds = [
  'rack_at_speed',
  'delivery_at_speed',
  'breakaway',
  'cut_off',
  'droop',
  'boost',
  'torque_control',
] as const;

const revisionKey = {
  spec_id: text('The specification sheet of one pump model').required,
  revision: text('The revision of that sheet', 40).required,
};
const ofRevision = [{ columns: ['spec_id', 'revision'], table: 'specs' }] as const;

export const specs = table('specs', "one revision of one model's specification", ['spec_id', 'revision'], {
  ...revisionKey,
  valid_from: date('First day on which this revision is the one to use').optional,
  pump_model: text('The pump model that the sheet is for').required,
  elements: integer(1, 12, 'Number of elements, counted from the drive end').required,
  firing_order: list('count', 'Elements in the order in which their ports close, the reference first').required,
  closure_angles_deg: list('cam_deg', 'Nominal closures in firing order, from 0; even intervals where left empty')
    .optional,
  lift_mm: number('mm', 0, 30, "Nominal lift to port closure of the reference element's plunger").required,
  lift_minus_mm: number('mm', 0, 5, 'How far below nominal the lift may be').required,
  lift_plus_mm: number('mm', 0, 5, 'How far above nominal the lift may be').required,
  phasing_tol_deg: number('cam_deg', 0.01, 10, 'Allowed phase error either way').optional,
  lift_rate_mm_per_deg: number('mm_per_deg', 0.005, 2, 'Plunger lift per degree of camshaft at port closure').optional,
  base_radius_mm: number('mm', 1, 100, 'Base circle radius of a tangent cam').optional,
  roller_radius_mm: number('mm', 1, 100, 'Radius of the tappet roller').optional,
  full_lift_mm: number('mm', 0, 50, 'Full lift of a tangent cam').optional,
  ascent_deg: number('cam_deg', 1, 180, 'Camshaft angle from the start of lift to full lift').optional,
  plunger_mm: number('mm', 1, 50, 'Plunger diameter').optional,
  helix_deg: number('deg', 1, 89, 'Helix angle from the plane square to the plunger axis').optional,
  sleeve_radius_mm: number('mm', 1, 100, 'Radius at which the rack turns the control sleeve').optional,
  slot_deg: number('deg', 0, 90, 'Barrel rotation that the flange slots allow, end to end').optional,
  adjuster: choice(adjusters, 'Where closure is adjusted; barrel_shim where left empty').optional,
  screw_mm_per_turn: number('mm_per_turn', 0.01, 5, 'Lift per turn of the tappet screw').optional,
  balance_by: choice(['barrel', 'sleeve'], 'What is turned to balance deliveries; barrel where left empty').optional,
  shim_step_mm: number('mm', 0.005, 1, 'Step in which shims are sold').optional,
  shim_sizes_mm: list('mm', 'Shim sizes on hand, where they do not go by an even step').optional,
  fluid_density_15c: number('kg_per_m3', 600, 1100, 'Density of the calibration fluid at 15 °C').optional,
  reference_c: number('celsius', -20, 100, 'Temperature that deliveries are stated at; 40 °C where left empty')
    .optional,
  seal_length_mm: number('mm', 0.1, 100, 'Sealing length of plunger in barrel').optional,
  injection_deg: number('cam_deg', 0.1, 90, 'Duration of injection').optional,
  injection_mpa: number('mpa', 0.1, 300, 'Mean pressure during injection').optional,
  retention_ratio: number('ratio', 0.01, 2, 'Low-speed retention of a sound element, where the sheet states one')
    .optional,
  viscosity_mpa_s: number('mpa_s', 0.1, 100, 'Dynamic viscosity of the fluid under test').optional,
});

export const camLift = table(
  'cam_lift',
  "one point of a cam's lift curve",
  ['spec_id', 'revision', 'cam_deg'],
  {
    ...revisionKey,
    cam_deg: number('cam_deg', -360, 360, 'Camshaft angle from the start of lift').required,
    lift_mm: number('mm', 0, 50, 'Plunger lift at that angle').required,
  },
  ofRevision,
);

export const testPoints = table(
  'test_points',
  'one test point of a specification',
  ['spec_id', 'revision', 'test_point'],
  {
    ...revisionKey,
    test_point: text('Name of the test point', 60).required,
    purpose: choice(purposes, 'What the point is for').optional,
    order: integer(1, 99, 'Place in the order of work').required,
    speed_rpm: number('rpm', 1, 6000, 'Pump speed').required,
    speed_tol_rpm: number('rpm', 0.1, 500, 'Allowed deviation of the speed either way').optional,
    rack_mm: number('mm', -5, 60, 'Rack travel').optional,
    rack_tol_mm: number('mm', 0.005, 5, 'Allowed deviation of the rack either way').optional,
    low_mm3: number('mm3_per_stroke', 0, 2000, 'Lowest delivery allowed').required,
    high_mm3: number('mm3_per_stroke', 0, 2000, 'Highest delivery allowed').required,
    spread: number('count', 0, 500, 'Largest spread allowed over the elements, in the unit of its basis').optional,
    spread_basis: choice(spreadBases, 'How the spread is reckoned').optional,
    strokes: integer(1, 100000, 'Strokes to draw over', 'strokes').optional,
    fluid_low_c: number('celsius', -40, 150, 'Lowest fluid temperature allowed').optional,
    fluid_high_c: number('celsius', -40, 150, 'Highest fluid temperature allowed').optional,
    feed_low_kpa: number('kpa', 0, 3000, 'Lowest feed pressure allowed').optional,
    feed_high_kpa: number('kpa', 0, 3000, 'Highest feed pressure allowed').optional,
  },
  ofRevision,
);

export const checks = table(
  'checks',
  'one governor or accessory check of a specification',
  ['spec_id', 'revision', 'check_id', 'speed_rpm', 'boost_kpa', 'lever'],
  {
    ...revisionKey,
    check_id: text('Name of the check', 60).required,
    kind: choice(checkKinds, 'What is checked').optional,
    speed_rpm: number('rpm', 0, 6000, 'Pump speed').optional,
    boost_kpa: number('kpa', 0, 1000, 'Boost pressure').optional,
    lever: text('Lever position', 40).optional,
    low: number('count', -10000, 10000, 'Lowest reading allowed').required,
    high: number('count', -10000, 10000, 'Highest reading allowed').required,
    unit: text('Unit of the band: mm, rpm, percent or mm3_per_stroke', 20).optional,
  },
  ofRevision,
);

export const instruments = table('instruments', "one gauge's calibration", ['instrument_id', 'calibrated_on'], {
  instrument_id: text("The gauge's own number", 60).required,
  kind: text('What it measures with', 60).required,
  bench_id: text('Bench where it is used', 60).optional,
  calibrated_on: date('Day of its calibration').required,
  due_on: date('Day from which it may no longer be used').required,
  expanded_uncertainty: number('count', 0, 1000, 'Expanded uncertainty (k = 2) in its own unit').optional,
  unit: text('Unit of the uncertainty', 20).optional,
});
