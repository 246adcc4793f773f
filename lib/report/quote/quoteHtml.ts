import type { QuoteFace } from './quoteFace';

/** A quote's sheet as one file that needs nothing else: no script, no picture, no font, and a policy that lets nothing in. */

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
export const escaped = (text: string): string => text.replace(/[&<>"']/g, (mark) => ESCAPES[mark] ?? mark);

const STYLE = `
@page { margin: 16mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 46rem; padding: 1.5rem; font: 11pt/1.45 system-ui, sans-serif; color: #000; background: #fff; }
h1 { font-size: 18pt; margin: 0 0 .6rem; }
h2 { font-size: 11pt; margin: 1.1rem 0 .25rem; }
p, ul { margin: 0 0 .3rem; }
ul { padding-left: 1.2rem; }
.parties { display: flex; flex-wrap: wrap; gap: .5rem 3rem; margin-bottom: 1rem; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .1rem 1rem; margin: 0 0 1rem; }
dt { color: #444; }
dd { margin: 0; overflow-wrap: anywhere; }
table { width: 100%; border-collapse: collapse; }
th, td { padding: .25rem .4rem; text-align: left; vertical-align: top; border-bottom: 1px solid #999; overflow-wrap: anywhere; }
thead { display: table-header-group; }
tr, li { break-inside: avoid; }
h2 { break-after: avoid; }
.number { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
tfoot { display: table-row-group; }
tfoot th { font-weight: 400; text-align: right; }
tfoot .strong > * { font-weight: 700; border-bottom: 2px solid #000; }
.scope { margin-top: 1.2rem; padding-top: .5rem; border-top: 1px solid #999; font-size: 9pt; }
@media print { body { padding: 0; max-width: none; font-size: 10pt; } }
@media (max-width: 30rem) { body { padding: .8rem; } .number { white-space: normal; } }
`;

const paragraphs = (texts: readonly string[]): string => texts.map((text) => `<p>${escaped(text)}</p>`).join('\n');
const items = (texts: readonly string[]): string =>
  `<ul>\n${texts.map((text) => `<li>${escaped(text)}</li>`).join('\n')}\n</ul>`;
const part = (heading: string, texts: readonly string[], body: (texts: readonly string[]) => string): string =>
  texts.length === 0 ? '' : `<h2>${escaped(heading)}</h2>\n${body(texts)}\n`;
const party = (name: string, texts: readonly string[]): string =>
  texts.length === 0 ? '' : `<div><h2>${escaped(name)}</h2>\n${paragraphs(texts)}\n</div>\n`;

function table({ lines, sums }: QuoteFace): string {
  const rows = lines.map(
    ({ text, quantity, amount }) =>
      `<tr><td>${escaped(text)}</td><td class="number">${escaped(quantity)}</td><td class="number">${escaped(amount)}</td></tr>`,
  );
  const foot = sums.map(
    ({ name, amount, strong }) =>
      `<tr${strong ? ' class="strong"' : ''}><th scope="row" colspan="2">${escaped(name)}</th><td class="number">${escaped(amount)}</td></tr>`,
  );
  return `<table>
<thead><tr><th scope="col">What</th><th scope="col" class="number">How much</th><th scope="col" class="number">Price</th></tr></thead>
<tbody>
${rows.join('\n')}
</tbody>
<tfoot>
${foot.join('\n')}
</tfoot>
</table>
`;
}

/** @param lang of the words, as in `lang` of HTML; figures are written as the face has them */
export function quoteHtml(face: QuoteFace, lang = 'en'): string {
  const { title, from, to, facts, expected, conditions, remarks, scope } = face;
  const factList = facts.map(([name, value]) => `<dt>${escaped(name)}</dt><dd>${escaped(value)}</dd>`).join('\n');
  return `<!doctype html>
<html lang="${escaped(lang)}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(title)}</title>
<style>${STYLE}</style>
</head>
<body>
<main>
<h1>${escaped(title)}</h1>
<div class="parties">
${party('From', from)}${party('For', to)}</div>
<dl>
${factList}
</dl>
${table(face)}
${part('How sure this is', expected, paragraphs)}${part('Conditions', conditions, items)}${part('Remarks', remarks, paragraphs)}<div class="scope">
${paragraphs(scope)}
</div>
</main>
</body>
</html>
`;
}
