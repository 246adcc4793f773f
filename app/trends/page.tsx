import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { Trends } from './Trends';

export const metadata: Metadata = { title: 'Trends' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <Trends />
    </Gate>
  );
}
