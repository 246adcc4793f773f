import { UsageError } from './arguments';

/** Runs a command to its exit status; of an error it says what it was, and of a wrong call how it is called. */
export async function runCommand(
  work: Promise<number>,
  usage: string,
  status: { readonly misused: number; readonly failed: number },
): Promise<void> {
  try {
    process.exitCode = await work;
  } catch (error) {
    console.error(error instanceof Error ? error.message : String(error));
    if (error instanceof UsageError) console.error(usage);
    process.exitCode = error instanceof UsageError ? status.misused : status.failed;
  }
}
