import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { Wear } from './Wear';

export const metadata: Metadata = { title: 'Wear' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <Wear />
    </Gate>
  );
}
