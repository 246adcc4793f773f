import type { ReactElement } from 'react';
import { Gate } from './_shell/Gate';
import { Shop } from './_shop/Shop';

export default function ShopPage(): ReactElement {
  return (
    <Gate>
      <Shop />
    </Gate>
  );
}
