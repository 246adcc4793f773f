import type { Checked, OpenedArchive, TakenOut } from '../../lib/keep/archive';
import type { KeptLoad } from '../../lib/keep/manifest';
import { mappingSchema } from '../../lib/log/mapping/mapping';
import { keeper } from './keeper';
import { keptMappings } from './mappings';
import { session } from './session';

export type { OpenedArchive } from '../../lib/keep/archive';

/** Taking the kept log out of this browser, and bringing it back. */

export const filesIn = (loads: readonly KeptLoad[]): number =>
  loads.reduce((sum, { demo, files }) => sum + (demo ? 1 : files.length), 0);

export const takeEverythingOut = (): Promise<TakenOut> => keeper.takeOut(keptMappings.read());

export const checkArchive = (file: Blob): Promise<Checked> => keeper.check(file);

/** Puts a checked archive in place of what is kept and opens it; answers why it could not be. */
export async function putInPlace(archive: OpenedArchive): Promise<string | null> {
  const refused = await keeper.restore(archive);
  if (refused !== null) return refused;
  for (const each of archive.mappings) {
    const mapping = mappingSchema.safeParse(each);
    if (mapping.success) keptMappings.keep(mapping.data);
  }
  session.openAgain();
  return null;
}
