'use client';

import type { ReactElement } from 'react';
import { Gate } from './_shell/Gate';
import { usePlotsAhead } from './_shop/ahead';
import { Shop } from './_shop/Shop';

export default function ShopPage(): ReactElement {
  usePlotsAhead();
  return (
    <Gate early>
      <Shop />
    </Gate>
  );
}
