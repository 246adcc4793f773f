/** What keeping the log needs, in one piece that is fetched when it is first needed. */
export { checkArchive, takeOut } from '../../lib/keep/archive';
export { OpfsFolder } from '../../lib/keep/browser/opfs';
export { ChangeBell, takePen } from '../../lib/keep/browser/tabs';
export { ChangedFiles, KeptLog } from '../../lib/keep/kept';
