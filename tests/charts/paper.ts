/** As much of a document as plots need to be drawn without a browser: elements that hold attributes, styles, text and each other. */

const SVG = 'http://www.w3.org/2000/svg';

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');

class Words {
  parentNode: Sheet | null = null;
  constructor(
    readonly ownerDocument: Paper,
    readonly textContent: string,
  ) {}
  write(): string {
    return escaped(this.textContent);
  }
}

class Sheet {
  readonly namespaceURI = SVG;
  parentNode: Sheet | null = null;
  private readonly attributes = new Map<string, string>();
  private readonly styles = new Map<string, string>();
  childNodes: (Sheet | Words)[] = [];

  constructor(
    readonly ownerDocument: Paper,
    readonly tagName: string,
  ) {}

  readonly style: Record<string, unknown> = {
    setProperty: (name: string, value: string): void => {
      this.styles.set(name, value);
    },
  };

  /** A plot listens for the pointer, which never comes here, and tells of a choice, for which nobody waits. */
  readonly addEventListener = (): void => undefined;
  readonly dispatchEvent = (): boolean => true;

  setAttribute(name: string, value: unknown): void {
    this.attributes.set(name, String(value));
  }
  setAttributeNS({}, name: string, value: unknown): void {
    this.setAttribute(name, value);
  }
  getAttribute(name: string): string | null {
    return this.attributes.get(name) ?? null;
  }
  hasAttribute(name: string): boolean {
    return this.attributes.has(name);
  }
  removeAttribute(name: string): void {
    this.attributes.delete(name);
  }

  get ownerSVGElement(): Sheet | null {
    let at = this.parentNode;
    while (at !== null && at.tagName !== 'svg') at = at.parentNode;
    return at;
  }
  get children(): Sheet[] {
    return this.childNodes.filter((node) => node instanceof Sheet);
  }
  get firstChild(): Sheet | Words | null {
    return this.childNodes[0] ?? null;
  }

  insertBefore<N extends Sheet | Words>(node: N, next: Sheet | Words | null): N {
    node.parentNode?.removeChild(node);
    const place = next === null ? this.childNodes.length : this.childNodes.indexOf(next);
    this.childNodes.splice(place, 0, node);
    node.parentNode = this;
    return node;
  }
  appendChild<N extends Sheet | Words>(node: N): N {
    return this.insertBefore(node, null);
  }
  append(...nodes: (Sheet | Words | string)[]): void {
    for (const node of nodes) this.appendChild(typeof node === 'string' ? new Words(this.ownerDocument, node) : node);
  }
  removeChild<N extends Sheet | Words>(node: N): N {
    this.childNodes = this.childNodes.filter((child) => child !== node);
    node.parentNode = null;
    return node;
  }

  get textContent(): string {
    return this.childNodes.map((node) => node.textContent).join('');
  }
  set textContent(text: string) {
    this.childNodes = [];
    if (text !== '') this.append(text);
  }

  write(): string {
    // Set one by one through the method, or assigned as properties.
    const assigned = Object.entries(this.style).flatMap(([name, value]) =>
      typeof value === 'string' ? [[name, value] as const] : [],
    );
    const style = [...this.styles, ...assigned].map(([name, value]) => `${name}: ${value}`).join('; ');
    const all = [...this.attributes, ...(style === '' ? [] : [['style', style] as const])];
    const open = `<${this.tagName}${all.map(([name, value]) => ` ${name}="${escaped(value)}"`).join('')}>`;
    return `${open}${this.childNodes.map((node) => node.write()).join('')}</${this.tagName}>`;
  }
}

export class Paper {
  readonly documentElement: Sheet = new Sheet(this, 'svg');
  readonly defaultView = { Event } as const;

  createElementNS(_space: string, name: string): Sheet {
    return new Sheet(this, name);
  }
  createElement(name: string): Sheet {
    return new Sheet(this, name);
  }
  createTextNode(text: string): Words {
    return new Words(this, text);
  }
}
