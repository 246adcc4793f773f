/**
 * How the sheet looks on screen and on paper. Every rule is of `.record`, so that it can stand on a page among others. Nothing is told
 * by colour; the paper is A4 or Letter, as the printer has it.
 */
export const sheetStyle = `.record {
  max-width: 186mm;
  color: #000;
  background: #fff;
  font: 400 10pt/1.4 system-ui, 'Segoe UI', 'Liberation Sans', Arial, sans-serif;
  font-variant-numeric: tabular-nums;
  overflow-wrap: break-word;
}
.record h1 { margin: 0 0 2mm; font-size: 16pt; line-height: 1.2; }
.record h2 { margin: 7mm 0 2mm; padding-top: 1.5mm; border-top: 0.4mm solid #000; font-size: 12pt; line-height: 1.2; }
.record h3 { margin: 4mm 0 1mm; font-size: 10pt; }
.record p, .record ul { margin: 0 0 2mm; }
.record ul { padding-left: 5mm; }
.record code { font-family: ui-monospace, 'Liberation Mono', monospace; font-size: 8pt; overflow-wrap: anywhere; }
.record dl { display: grid; grid-template-columns: 1fr 1fr; gap: 0 6mm; margin: 0 0 3mm; }
.record dl > div { display: grid; grid-template-columns: 42mm 1fr; gap: 2mm; padding: 0.7mm 0; border-bottom: 0.1mm solid #777; }
.record dt { color: #333; }
.record dd { margin: 0; font-weight: 600; white-space: pre-wrap; }
.record table { width: 100%; margin: 0 0 4mm; border-collapse: collapse; font-size: 8pt; line-height: 1.3; }
.record caption { padding: 2mm 0 1mm; font-size: 9.5pt; font-weight: 700; text-align: left; }
.record th, .record td { padding: 0.6mm 1.2mm; border: 0.1mm solid #777; text-align: left; vertical-align: top; }
.record th { border-bottom: 0.3mm solid #000; font-weight: 700; overflow-wrap: normal; }
.record td.figure { text-align: right; white-space: nowrap; }
.record th.figure { text-align: right; }
.record td.line { white-space: nowrap; }
.record td.free { min-width: 15mm; overflow-wrap: anywhere; }
.record dd { overflow-wrap: anywhere; }
.record .dense table { font-size: 7pt; }
.record .dense th, .record .dense td { padding: 0.5mm; }
.record .word { white-space: nowrap; }
.record dd .word { white-space: normal; }
.record .word-bad { font-weight: 700; }
.record .none { margin: 2mm 0; font-size: 9pt; }
.record .as-written { white-space: pre-wrap; }
.record .wide { overflow-x: auto; }
@media screen and (max-width: 46rem) {
  .record td.free { overflow-wrap: break-word; }
  .record dl { grid-template-columns: minmax(0, 1fr); }
}
@media print {
  .record { max-width: none; font-size: 9.5pt; }
  .record h1, .record h2, .record h3, .record caption { break-after: avoid; }
  .record thead { display: table-header-group; }
  .record tr, .record dl > div, .record li { break-inside: avoid; }
  .record .wide { overflow: visible; }
  .record .wide:not(.long), .record dl { break-inside: avoid; }
  .record tbody tr:first-child { break-before: avoid; }
  .record tbody tr:nth-child(-n + 2) { break-after: avoid; }
}
`;

/** A text as a CSS string, any mark in it written by its number. */
const cssText = (text: string): string =>
  `'${text.replace(/[^A-Za-z0-9 .-]/gu, (letter) => `\\${(letter.codePointAt(0) ?? 0).toString(16)} `)}'`;

/** The head and foot of each printed page. Both papers are wide enough for what stands between these margins. */
export const pageStyle = (job: string, hash: string): string => `@page {
  margin: 16mm 12mm 16mm;
  @top-left { content: ${cssText(`Audit record of job ${job}`)}; font: 8pt sans-serif; }
  @top-right { content: 'Page ' counter(page) ' of ' counter(pages); font: 8pt sans-serif; }
  @bottom-left { content: ${cssText(`SHA-256 ${hash}`)}; font: 7pt monospace; }
}
`;
