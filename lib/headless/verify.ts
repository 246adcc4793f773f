import { UsageError } from './arguments';
import { UNREADABLE, verify, VERIFY_USAGE } from './verifyRecord';

/** The command `npm run verify`. */
const say = (line: string): void => {
  console.log(line);
};
const complain = (line: string): void => {
  console.error(line);
};

verify(process.argv.slice(2), { say, complain }).then(
  (code) => {
    process.exitCode = code;
  },
  (error: unknown) => {
    complain(error instanceof Error ? error.message : String(error));
    if (error instanceof UsageError) complain(VERIFY_USAGE);
    process.exitCode = UNREADABLE;
  },
);
