import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { LogPage } from './LogPage';

export const metadata: Metadata = { title: 'Log' };

export default function Page(): ReactElement {
  return <LogPage />;
}
