import { createElement, type ReactElement, type ReactNode } from 'react';
import type { AttributeName, SheetElement, SheetNode } from '../../lib/report/sheet/nodes';

const names: Readonly<Record<AttributeName, string>> = {
  class: 'className',
  id: 'id',
  scope: 'scope',
  role: 'role',
  tabindex: 'tabIndex',
  'aria-label': 'aria-label',
  'aria-hidden': 'aria-hidden',
};
const isName = (name: string): name is AttributeName => name in names;

function made(node: SheetNode, key: number): ReactNode {
  return typeof node === 'string' ? node : createElement(Nodes, { node, key });
}

function Nodes({ node }: { node: SheetElement }): ReactElement {
  const attributes = Object.entries(node.attributes).map(([name, value]) => [isName(name) ? names[name] : name, value]);
  return createElement(node.tag, Object.fromEntries(attributes), ...node.children.map(made));
}

/** A sheet's tree as elements of the page: the same texts in the same elements as in the saved file. */
export function SheetView({ sheet }: { sheet: SheetElement }): ReactElement {
  return <Nodes node={sheet} />;
}
