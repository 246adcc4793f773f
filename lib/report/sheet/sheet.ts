import { logLabel } from '../../words/labels';
import type { AuditRecord } from '../record';
import { txt } from '../rows';
import { asReadTables, leftOut, origins, recomputed, specification, work } from './evidence';
import { element, paragraph, shown, type SheetElement } from './nodes';
import { answers, beside, card, closing, findings, gauges, judged } from './proof';

/** The claim that the card names, as part of a sentence. */
const claimOf = ({ job }: AuditRecord): string => {
  const claim = txt(job, 'claim_no');
  return claim === null ? '' : ` claim ${shown(claim)},`;
};

/** The record as a sheet for people: the answers first, then what they rest on. `hash` is the SHA-256 of the record's one text. */
export const sheetOf = (record: AuditRecord, hash: string): SheetElement =>
  element(
    'article',
    { class: 'record' },
    element(
      'header',
      {},
      element('h1', {}, `Audit record of job ${shown(txt(record.job, 'job_id'))}`),
      paragraph(
        `${shown(txt(record.job, 'pump_model'))}, serial number ${shown(txt(record.job, 'pump_serial'))},${claimOf(record)} received ${shown(txt(record.job, 'received_on'))}. Figures are in the log's own units. Run 0 is as received, run 1 the first measurement after assembly, later runs follow a correction.`,
      ),
      paragraph('SHA-256 of the record: ', element('code', { id: 'record-hash' }, hash)),
      paragraph(
        `Worked out by Shimbook, engine version ${record.engine_version}, record version ${record.record_version}.`,
      ),
    ),
    answers(record),
    findings(record),
    card(record, (name) => logLabel('jobs', name).text),
    specification(record),
    gauges(record),
    beside(record),
    judged(record),
    work(record),
    leftOut(record),
    asReadTables(record),
    recomputed(record),
    origins(record),
    ...closing(record),
  );
