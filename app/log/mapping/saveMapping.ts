import type { Mapping } from '../../../lib/log/mapping/mapping';
import { fileName, save } from '../../_shell/save';

/** Hands the mapping over as the JSON file that `npm run recalc -- --mapping` and other browsers take. */
export const saveMapping = (mapping: Mapping): void => {
  save(
    new Blob([`${JSON.stringify(mapping, null, 2)}\n`], { type: 'application/json' }),
    fileName(mapping.name, 'mapping.json'),
  );
};
