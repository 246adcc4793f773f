/** A log small enough to reckon by hand: one model of four elements, one job with two runs, 0.2 mm of lift a degree. */
export const smallLog: Readonly<Record<string, string>> = {
  'specs.csv': `spec_id,revision,pump_model,elements,firing_order,lift_mm,lift_minus_mm,lift_plus_mm,phasing_tol_deg,lift_rate_mm_per_deg,shim_step_mm
K-1,A,Kestrel,4,1-3-4-2,2.10,0.05,0.05,0.5,0.2,0.05
`,
  'test_points.csv': `spec_id,revision,test_point,purpose,order,speed_rpm,speed_tol_rpm,rack_mm,rack_tol_mm,low_mm3,high_mm3,spread,spread_basis,strokes
K-1,A,full,full,1,1000,10,12,0.1,78,82,3,range_mm3,500
K-1,A,low,low-speed,2,200,5,12,0.1,66,74,6,range_mm3,500
`,
  'instruments.csv': `instrument_id,kind,calibrated_on,due_on
G-1,graduate,2023-06-01,2024-06-01
`,
  'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type,bench_id
J-1,S-1,Kestrel,K-1,A,2024-03-04,recalibrate,B1
`,
  'closures.csv': `job_id,run,element,cam_deg,lift_mm,preload_mm
J-1,1,1,0,2.60,0.50
J-1,1,3,90.8,,
J-1,1,4,180,,
J-1,1,2,269.7,,
J-1,2,1,0,2.60,0.50
J-1,2,3,90.1,,
J-1,2,4,180,,
J-1,2,2,269.7,,
`,
  'shims.csv': `job_id,run,element,before_mm,after_mm
J-1,1,3,1.20,1.05
`,
  'draws.csv': `job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm
J-1,1,full,1,1,40.0,500,1000,12
J-1,1,full,1,2,40.5,500,1000,12
J-1,1,full,1,3,39.5,500,1000,12
J-1,1,full,1,4,44.0,500,1000,12.4
J-1,1,full,2,4,40.0,500,1000,12
J-1,1,low,1,1,36.0,500,200,12
J-1,1,low,1,2,35.0,500,200,12
J-1,1,low,1,3,34.0,500,200,12
J-1,1,low,1,4,35.0,500,200,12
`,
};

/** The same log with one file's text changed. */
export const smallLogWith = (file: string, change: (text: string) => string): Readonly<Record<string, string>> => ({
  ...smallLog,
  [file]: change(smallLog[file] ?? ''),
});

export const appended = (row: string) => (text: string) => `${text}${row}\n`;
