'use client';

import { parseAsBoolean, parseAsString, useQueryState } from 'nuqs';
import type { Found } from '../../lib/find/types';
import { address, NO_FILTERS } from '../_shell/useFilters';

/** What the addresses of the faults page and of the jobs behind a finding hold beside the filters. */
type Keys = Readonly<Record<string, string>>;

export const useFault = () => useQueryState('fault', parseAsString);
export const useTechnicians = () => useQueryState('technicians', parseAsBoolean.withDefault(false));

/** What a link to a finding carries: an address that leads to a technician searches with technicians when it is opened. */
export const faultKeys = (id: string, technicians: boolean): Keys => ({
  fault: id,
  ...(technicians ? { technicians: 'true' } : {}),
});

/** The address of one finding, for anyone who has the log: whatever filters are set here are not theirs. */
export const faultAddress = ({ id }: Pick<Found, 'id'>, technicians: boolean): string =>
  address('/faults/', NO_FILTERS, faultKeys(id, technicians));

/** Where a link leads to a finding that the search does not find any more. */
export const GONE =
  'The finding that this link leads to is not among those of this log: it is another log, or it has changed since the link was copied.';

/** Where a finding stands on its page. */
export const articleId = ({ id }: Pick<Found, 'id'>): string => `fault-${id.replace(/[^\w-]+/g, '-')}`;
