import { z } from 'zod';
import { question } from '../question';
import { text } from './rows';

const row = z.object({ file: text, reason: text });
export type RefusedFile = z.infer<typeof row>;

/** Files that could not be read at all, each with its reason. */
export const refusedFiles = question<null, RefusedFile>(
  'refusedFiles',
  row,
  () => [],
  'select file, reason from refused order by file',
);
