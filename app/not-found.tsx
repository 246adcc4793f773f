import Link from 'next/link';
import type { ReactElement } from 'react';

export default function NotFound(): ReactElement {
  return (
    <div className="stack">
      <h1>There is no such page</h1>
      <p>
        <Link href="/">Go to the shop</Link>
      </p>
    </div>
  );
}
