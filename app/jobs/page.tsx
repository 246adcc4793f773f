import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { Jobs } from './Jobs';

export const metadata: Metadata = { title: 'Jobs' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <Jobs />
    </Gate>
  );
}
