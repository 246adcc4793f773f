import { proofFormulas } from '../calc/formulas/proof';
import type { AuditRecord } from './record';

/** What stands on every record: by which rules it decides, what it can't know, and who decides. */

export const rules: AuditRecord['rules'] = {
  guarded: `${proofFormulas.decision.source}, with a guard band of the expanded uncertainty U (k = 2): conforms where the value and U both lie within the limits, does not conform where not even U brings it within them, else it cannot be decided.`,
  plain: 'Plain comparison with the limits, as no uncertainty is stated for this figure.',
};

export const scope: AuditRecord['scope'] = {
  not_known: [
    'Whether the readings were taken as they are written. The record holds what the log says.',
    'Whether the balance was drawn before or after the last change of shims, and other steps in their order: closures, shims and barrels carry no time, and runs are counted stage by stage. A draw made before the last change of shims does not prove the balance.',
    'Whether anything was left out of the log before it was loaded. What is missing by the sheet is listed under findings.',
    'Whether the pump on the bench bore the serial number on the card.',
    'Calibration certificates themselves. Dates and uncertainties of gauges are those that the log lists.',
    'Uncertainty of rack, speed, boost, fluid temperature and feed pressure, and of the bench itself. Only that of gauges for closure, lift and volume is reckoned with.',
    "The pump maker's specification. In force means the latest revision of the sheet in this log that was valid on the day the pump came in.",
    'Who did the work, and what it cost. Both are left out of the record.',
    'The claim: its terms, and what came of it. Its number is the one that the job card states.',
    'Who made this record, and when. Its SHA-256 shows a change only against a hash that was written down elsewhere.',
  ],
  cautions: [
    'Injection spray pierces skin and is a surgical emergency: go to hospital at once, however small the wound looks.',
    'The coupling and the drive must be guarded before the bench turns.',
    'Calibration fluid is flammable and a skin hazard.',
  ],
  decides:
    "The pump maker's current test specification, local codes and the licensed practitioner decide. This record advises.",
};
