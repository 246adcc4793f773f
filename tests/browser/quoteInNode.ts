import { z } from 'zod';
import { filesIn } from '../../lib/headless/folder';
import { openLog } from '../../lib/headless/log';
import { packQuoteHistory } from '../../lib/store/quote';
import { askedSchema, choicesSchema, QuoteDesk } from '../../lib/store/quoteDesk';

/** Answers a question about the demo log as JSON, for the browser test to compare the page with. */
const { asked, choices, price } = z
  .object({ asked: askedSchema, choices: choicesSchema, price: z.number() })
  .parse(JSON.parse(process.argv[2] ?? ''));
const log = await openLog(await filesIn('data-demo/log'), '2026-01-01 00:00:00');
const { columns, names } = await packQuoteHistory(log.db);
const desk = new QuoteDesk(columns, names);
const { estimate, similar } = desk.quote({ asked, choices });
const { overrun } = desk.price({ asked, choices, price, chance: 0.1, margin: 0 });
const held = desk
  .test(choices)
  .tests.find(({ target }) => target === 'hours')
  ?.coverages.find(({ coverage }) => coverage === 0.8);
await log.db.close();
process.stdout.write(
  JSON.stringify({ estimate: { ...estimate, similar: similar.map(({ job }) => job) }, overrun, held }),
);
