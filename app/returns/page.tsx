import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { Returns } from './Returns';

export const metadata: Metadata = { title: 'Returns' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <Returns />
    </Gate>
  );
}
