import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { Benches } from './Benches';

export const metadata: Metadata = { title: 'Benches' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <Benches />
    </Gate>
  );
}
