import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { RecordPage } from './RecordPage';

export const metadata: Metadata = { title: 'Audit record' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <RecordPage />
    </Gate>
  );
}
