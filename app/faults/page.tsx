import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { Faults } from './Faults';

export const metadata: Metadata = { title: 'Faults' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <Faults />
    </Gate>
  );
}
