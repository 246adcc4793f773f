import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { Shims } from './Shims';

export const metadata: Metadata = { title: 'Shims' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <Shims />
    </Gate>
  );
}
