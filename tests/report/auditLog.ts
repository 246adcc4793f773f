import type { HeadlessLog } from '../../lib/headless/log';
import { buildRecord } from '../../lib/report/ask';
import type { AuditRecord } from '../../lib/report/record';
import { smallLog } from '../store/smallLog';

/**
 * The small log with what an audit asks for: revisions with days, gauges with calibrations and uncertainties, times, a barrel turned,
 * a governor check. Job J-1 is worked to revision B, in force from 2024-01-01; it comes in on 2024-03-04.
 */
export const auditLog: Readonly<Record<string, string>> = {
  ...smallLog,
  'specs.csv': `spec_id,revision,valid_from,pump_model,elements,firing_order,lift_mm,lift_minus_mm,lift_plus_mm,phasing_tol_deg,lift_rate_mm_per_deg,shim_step_mm
K-1,A,2020-01-01,Kestrel,4,1-3-4-2,2.20,0.05,0.05,0.5,0.2,0.05
K-1,B,2024-01-01,Kestrel,4,1-3-4-2,2.10,0.05,0.05,0.5,0.2,0.05
K-1,C,2025-01-01,Kestrel,4,1-3-4-2,2.00,0.05,0.05,0.5,0.2,0.05
`,
  'test_points.csv': (smallLog['test_points.csv'] ?? '').replaceAll('K-1,A', 'K-1,B'),
  'checks.csv': `spec_id,revision,check_id,kind,speed_rpm,low,high,unit
K-1,B,full stop,rack_at_speed,1000,11.9,12.1,mm
`,
  // The graduate was calibrated again on the very day the pump came in; the dial gauge was past its date from 2024-03-01 on.
  'instruments.csv': `instrument_id,kind,calibrated_on,due_on,expanded_uncertainty,unit
G-1,graduate,2023-03-04,2024-03-04,0.4,cm3
G-1,graduate,2024-03-04,2025-03-04,0.5,cm3
D-1,dial gauge,2023-03-01,2024-03-01,0.02,mm
`,
  'jobs.csv': `job_id,pump_serial,pump_model,spec_id,spec_revision,received_on,work_type,bench_id,warranty,claim_no,technician,stated_result,note
J-1,S-1,Kestrel,K-1,B,2024-03-04,recalibrate,B1,yes,W-0123,T-7,pass,
`,
  'closures.csv': `job_id,run,element,cam_deg,lift_mm,preload_mm,instrument_id
J-1,0,1,0,2.62,0.50,D-1
J-1,0,3,91.2,,,D-1
J-1,0,4,180,,,D-1
J-1,0,2,270,,,D-1
J-1,1,1,0,2.60,0.50,D-1
J-1,1,3,90.8,,,D-1
J-1,1,4,180,,,D-1
J-1,1,2,269.7,,,D-1
J-1,2,1,0,2.60,0.50,D-1
J-1,2,3,90.1,,,D-1
J-1,2,4,180,,,D-1
J-1,2,2,269.7,,,D-1
`,
  'draws.csv': `job_id,run,test_point,repeat,element,volume_cm3,strokes,speed_rpm,rack_mm,taken_at,instrument_id
J-1,1,full,1,1,40.0,500,1000,12,2024-03-04 10:00:00,G-1
J-1,1,full,1,2,40.5,500,1000,12,2024-03-04 10:02:00,G-1
J-1,1,full,1,3,39.5,500,1000,12,2024-03-04 10:04:00,G-1
J-1,1,full,1,4,44.0,500,1000,12.4,2024-03-04 10:06:00,G-1
J-1,1,full,2,4,40.0,500,1000,12,2024-03-04 10:08:00,G-1
J-1,1,low,1,1,36.0,500,200,12,2024-03-04 09:00:00,G-1
J-1,1,low,1,2,35.0,500,200,12,2024-03-04 09:02:00,G-1
J-1,1,low,1,3,34.0,500,200,12,2024-03-04 09:04:00,G-1
J-1,1,low,1,4,35.0,500,200,12,2024-03-04 09:06:00,
`,
  'barrels.csv': `job_id,run,element,rotation_deg,scribed
J-1,1,2,-0.5,yes
`,
  'governor.csv': `job_id,run,check_id,speed_rpm,rack_mm
J-1,1,full stop,1000,12.05
`,
};

export const auditLogWith = (file: string, change: (text: string) => string): Readonly<Record<string, string>> => ({
  ...auditLog,
  [file]: change(auditLog[file] ?? ''),
});

/** The record of a job that is in the log. */
export async function recordOf({ db }: HeadlessLog, id = 'J-1'): Promise<AuditRecord> {
  const record = await buildRecord((sql, params) => db.rows(sql, params), id);
  if (record === null) throw new Error(`The log has no job ${id}`);
  return record;
}
