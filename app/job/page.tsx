import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { JobPage } from './JobPage';

export const metadata: Metadata = { title: 'Job' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <JobPage />
    </Gate>
  );
}
