/** What is said of keeping the log: what happened, then what to do. */

const errorName = (error: unknown): string => (error instanceof Error ? error.name : '');

export const sentences = {
  full: 'The storage that this browser gives Shimbook is full. Free some space on the disk, or take out what is kept and delete it here, and load the files again.',
  barred:
    'This browser does not let the page keep files: a private window, a setting, or a page that came neither from this machine nor over https. The log is open until this page is closed.',
  writeFailed: (detail: string) => `The browser could not write the files (${detail}).`,
  damagedFile: (name: string) =>
    `The kept copy of ${name} is damaged or gone. Load the file again from where it came from.`,
  unreadableMapping: (name: string) =>
    `The mapping that read ${name} can't be used by this version, so the file was left out. Load the file again and map it.`,
  noDemo: 'The demo log could not be read, so it was left out. Open it again when the server is there.',
  notKept: (why: string) =>
    `The files just loaded are open in this tab, but they are not kept: they are gone when it is closed. ${why}`,
  notDropped: (why: string) => `What was taken out here is still kept and will be there at the next visit. ${why}`,
  demoNotClosed: (why: string) => `The demo log could not be closed; the log is as it was. ${why}`,
  noteNotKept: (why: string) => `Your note is there until this tab is closed; it could not be kept. ${why}`,
  quoteNotKept: (why: string) => `Your quote is there until this tab is closed; it could not be kept. ${why}`,
  noMoreQuotes: 'No more quotes can be kept here. Remove some that you do not need any more.',
  otherTab: 'The log is open for writing in another tab. Load files there, or close that tab and this one takes over.',
  behind: 'The kept log was changed in another tab.',
  notOpened: 'The kept log is not open, so nothing was added to it. Open it first.',
  damagedList:
    'The list of the kept files is damaged, so the kept log can not be opened. Restore it from an archive, or delete what is kept and load the files again.',
} as const;

/** Why keeping failed, as a sentence. */
export function whyNotKept(error: unknown): string {
  switch (errorName(error)) {
    case 'QuotaExceededError':
      return sentences.full;
    case 'SecurityError':
    case 'NotAllowedError':
      return sentences.barred;
    default:
      return sentences.writeFailed(error instanceof Error ? error.message : String(error));
  }
}
