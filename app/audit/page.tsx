import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { Audit } from './Audit';

export const metadata: Metadata = { title: 'Audit' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <Audit />
    </Gate>
  );
}
