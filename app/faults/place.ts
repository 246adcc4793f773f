'use client';

import { parseAsBoolean, parseAsString, useQueryState } from 'nuqs';
import type { Found } from '../../lib/find/types';
import { UNFILTERED } from '../../lib/store/filters';
import { useTechniciansLeftOut } from '../_shell/technicians';
import { address } from '../_shell/useFilters';

/** What the addresses of the faults page and of the jobs behind a finding hold beside the filters. */
type Keys = Readonly<Record<string, string>>;

export const useFault = () => useQueryState('fault', parseAsString);
/** Whether to search by technician, and the way to choose it; no way where the shop leaves technicians out, whatever the address says. */
export function useTechnicians(): readonly [boolean, ((chosen: boolean) => void) | null] {
  const leftOut = useTechniciansLeftOut();
  const [technicians, setTechnicians] = useQueryState('technicians', parseAsBoolean.withDefault(false));
  if (leftOut) return [false, null];
  return [technicians, (chosen) => void setTechnicians(chosen ? true : null)];
}

/** What a link to a finding carries: an address that leads to a technician searches with technicians when it is opened. */
export const faultKeys = (id: string, technicians: boolean): Keys => ({
  fault: id,
  ...(technicians ? { technicians: 'true' } : {}),
});

/** The address of one finding, for anyone who has the log: whatever filters are set here are not theirs. */
export const faultAddress = ({ id }: Pick<Found, 'id'>, technicians: boolean): string =>
  address('/faults/', UNFILTERED, faultKeys(id, technicians));

/** Where a link leads to a finding that the search does not find any more. */
export const GONE =
  'The finding that this link leads to is not among those of this log: it is another log, or it has changed since the link was copied.';

/** Where a finding stands on its page. */
export const articleId = ({ id }: Pick<Found, 'id'>): string => `fault-${id.replace(/[^\w-]+/g, '-')}`;
