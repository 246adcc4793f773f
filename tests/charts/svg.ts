import { plot, type PlotOptions } from '@observablehq/plot';

/**
 * Plots as text that can be compared: coordinates rounded, ids and class names numbered in order. As little of a document as Plot asks
 * for stands in for a browser's, which no test of a picture's text needs.
 */

const SVG = 'http://www.w3.org/2000/svg';
const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');

abstract class Node {
  parentNode: Element | null = null;
  constructor(readonly ownerDocument: Page) {}
  abstract written(indent: string): string;
}

class Text extends Node {
  constructor(
    page: Page,
    readonly text: string,
  ) {
    super(page);
  }
  override written(indent: string): string {
    return `${indent}${escaped(this.text)}`;
  }
}

class Element extends Node {
  readonly childNodes: Node[] = [];
  private readonly attributes = new Map<string, string>();
  private readonly styles = new Map<string, string>();
  readonly style = {
    setProperty: (name: string, value: unknown) => this.styles.set(name, String(value)),
    removeProperty: (name: string) => this.styles.delete(name),
  };

  constructor(
    page: Page,
    readonly namespaceURI: string,
    readonly tagName: string,
  ) {
    super(page);
  }

  get children(): Element[] {
    return this.childNodes.filter((node): node is Element => node instanceof Element);
  }
  set textContent(text: string) {
    this.childNodes.splice(0, this.childNodes.length, new Text(this.ownerDocument, text));
  }
  setAttribute(name: string, value: unknown): void {
    this.attributes.set(name, String(value));
  }
  setAttributeNS(_space: string, name: string, value: unknown): void {
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
  appendChild<N extends Node>(node: N): N {
    return this.insertBefore(node, null);
  }
  insertBefore<N extends Node>(node: N, before: Node | null): N {
    const from = node.parentNode;
    from?.childNodes.splice(from.childNodes.indexOf(node), 1);
    this.childNodes.splice(before === null ? this.childNodes.length : this.childNodes.indexOf(before), 0, node);
    node.parentNode = this;
    return node;
  }
  // Nothing is pointed at here, and nobody listens.
  addEventListener(): void {
    return;
  }
  dispatchEvent(): void {
    return;
  }

  override written(indent: string): string {
    const styles = [...this.styles].map(([name, value]) => `${name}: ${value}`).join('; ');
    const all = [...this.attributes, ...(styles === '' ? [] : [['style', styles] as const])];
    const start = [this.tagName, ...all.map(([name, value]) => `${name}="${escaped(value)}"`)].join(' ');
    // How Plot itself lays its text out is none of ours.
    const inside = this.tagName === 'style' ? [] : this.childNodes;
    if (inside.length === 0) return `${indent}<${start}/>`;
    const lines = inside.map((node) => node.written(`${indent}  `));
    return `${indent}<${start}>\n${lines.join('\n')}\n${indent}</${this.tagName}>`;
  }
}

class Page {
  readonly defaultView = { Event };
  readonly documentElement: Element;
  constructor() {
    this.documentElement = new Element(this, 'http://www.w3.org/1999/xhtml', 'html');
  }
  createElementNS(space: string, name: string): Element {
    return new Element(this, space, name);
  }
  createElement(name: string): Element {
    return new Element(this, SVG, name);
  }
  createTextNode(text: string): Text {
    return new Text(this, text);
  }
}

/** Numbers rounded to a tenth, so that a picture stays the same where arithmetic differs in its last digits. */
const rounded = (text: string): string =>
  text.replaceAll(/-?\d+\.\d+(?:e-?\d+)?/g, (number) => String(Math.round(Number(number) * 10) / 10 + 0));

/** Names that are made anew at each drawing (`plot-d6a7b5`, `plot-clip-3`, React's) as `id-1`, `id-2`, in the order they come. */
function renumbered(text: string): string {
  const names = new Map<string, string>();
  return text.replaceAll(/plot-(?:clip-)?[0-9a-f]{1,8}\b|_r_\w+_|«r\w+»/g, (name) => {
    const known = names.get(name) ?? `id-${names.size + 1}`;
    names.set(name, known);
    return known;
  });
}

/** Markup of a drawing of our own, as it can be compared: an element a line. */
export const normalised = (markup: string): string => renumbered(rounded(markup.replaceAll('><', '>\n<')));

/** A plot as it can be compared. */
export function plotSvg(options: PlotOptions): string {
  const drawn = plot({ ...options, document: new Page() as unknown as Document }) as unknown as Element;
  return renumbered(rounded(drawn.written('')));
}
