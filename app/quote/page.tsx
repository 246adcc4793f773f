import type { Metadata } from 'next';
import type { ReactElement } from 'react';
import { Gate } from '../_shell/Gate';
import { Quote } from './Quote';
import './quote.css';

export const metadata: Metadata = { title: 'Quote' };

export default function Page(): ReactElement {
  return (
    <Gate>
      <Quote />
    </Gate>
  );
}
