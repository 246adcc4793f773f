'use client';

import Link from 'next/link';
import { usePathname } from 'next/navigation';
import type { ReactElement } from 'react';
import { useAddress } from './useFilters';

const places = [
  ['/', 'Shop'],
  ['/faults/', 'Faults'],
  ['/shims/', 'Shims'],
  ['/wear/', 'Wear'],
  ['/jobs/', 'Jobs'],
  ['/log/', 'Log'],
  ['/trends/', 'Trends'],
  ['/returns/', 'Returns'],
  ['/benches/', 'Benches'],
  ['/audit/', 'Audit'],
  ['/quote/', 'Quote'],
] as const;

function Places({ to, current }: { to: (path: string) => string; current: string | null }): ReactElement {
  return (
    <nav className="nav" aria-label="Pages">
      <ul>
        {places.map(([path, name]) => (
          <li key={path}>
            <Link href={to(path)} aria-current={current === path ? 'page' : undefined}>
              {name}
            </Link>
          </li>
        ))}
      </ul>
    </nav>
  );
}

/** The pages, each link carrying the filters along. */
export function Navigation(): ReactElement {
  const to = useAddress();
  const path = usePathname();
  const folder = path.endsWith('/') ? path : `${path}/`;
  return <Places to={to} current={folder === '/job/' || folder === '/record/' ? '/jobs/' : folder} />;
}

/** The same before the address bar is known. */
export const PlainNavigation = (): ReactElement => <Places to={(path) => path} current={null} />;
