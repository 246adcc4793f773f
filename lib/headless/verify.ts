import { runCommand } from './command';
import { UNREADABLE, verify, VERIFY_USAGE } from './verifyRecord';

/** The command `npm run verify`. */
const say = (line: string): void => {
  console.log(line);
};
const complain = (line: string): void => {
  console.error(line);
};

await runCommand(verify(process.argv.slice(2), { say, complain }), VERIFY_USAGE, {
  misused: UNREADABLE,
  failed: UNREADABLE,
});
