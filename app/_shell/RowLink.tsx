import Link from 'next/link';
import type { ComponentProps, ReactElement } from 'react';

/** A link in a row of a long table. It is not fetched ahead: hundreds of them would be watched, and fetched anew at each filter. */
export function RowLink(props: Omit<ComponentProps<typeof Link>, 'prefetch'>): ReactElement {
  return <Link {...props} prefetch={false} />;
}
