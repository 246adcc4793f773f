const TITLE_ROOM = 34;
const LINE = 18;
const MARGIN = 12;

/** Breaks a text into lines of at most `most` characters, at spaces. */
export function lines(text: string, most: number): readonly string[] {
  const out: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/)) {
    if (line !== '' && line.length + 1 + word.length > most) {
      out.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return line === '' ? out : [...out, line];
}

const styled = [
  'fill',
  'stroke',
  'stroke-width',
  'stroke-dasharray',
  'stroke-opacity',
  'opacity',
  'font-family',
  'font-size',
  'font-weight',
  'text-anchor',
] as const;

/** Writes what the page's style sheets say onto each shape, so that the picture looks the same away from the page. */
function settle(from: Element, onto: Element): void {
  const seen = getComputedStyle(from);
  for (const name of styled) onto.setAttribute(name, seen.getPropertyValue(name));
  const copies = [...onto.children];
  [...from.children].forEach((child, index) => {
    const copy = copies[index];
    if (copy !== undefined && child.tagName !== 'style') settle(child, copy);
  });
}

/** The drawing of a frame as an SVG file of its own, its title over it and its method under it. */
export function pictureOf(svg: SVGSVGElement, title: string, notes: readonly string[]): Blob {
  const { width, height } = svg.getBoundingClientRect();
  const names = 'http://www.w3.org/2000/svg';
  const ground = getComputedStyle(document.documentElement);
  const ink = ground.getPropertyValue('--ink').trim();
  const iron = ground.getPropertyValue('--iron').trim();
  const most = Math.max(30, Math.floor(width / 7.2));
  const heads = lines(title, Math.floor(most * 0.8));
  const feet = notes.flatMap((note) => lines(note, most));
  const top = MARGIN + TITLE_ROOM + LINE * (heads.length - 1);
  const whole = { width: width + 2 * MARGIN, height: top + height + feet.length * LINE + 2 * MARGIN };

  const out = document.createElementNS(names, 'svg');
  out.setAttribute('xmlns', names);
  out.setAttribute('width', String(whole.width));
  out.setAttribute('height', String(whole.height));
  out.setAttribute('font-family', ground.getPropertyValue('--body').trim());
  const sheet = document.createElementNS(names, 'rect');
  sheet.setAttribute('width', '100%');
  sheet.setAttribute('height', '100%');
  sheet.setAttribute('fill', ground.getPropertyValue('--sheet').trim());
  out.append(sheet);
  const write = (text: string, y: number, size: number, fill: string, weight: string): void => {
    const node = document.createElementNS(names, 'text');
    node.setAttribute('x', String(MARGIN));
    node.setAttribute('y', String(y));
    node.setAttribute('font-size', String(size));
    node.setAttribute('font-weight', weight);
    node.setAttribute('fill', fill);
    node.textContent = text;
    out.append(node);
  };
  heads.forEach((text, i) => {
    write(text, MARGIN + 18 + i * LINE, 16, ink, '650');
  });
  const drawing = svg.cloneNode(true);
  if (drawing instanceof SVGSVGElement) {
    settle(svg, drawing);
    drawing.setAttribute('x', String(MARGIN));
    drawing.setAttribute('y', String(top));
    drawing.setAttribute('width', String(width));
    drawing.setAttribute('height', String(height));
    out.append(drawing);
  }
  feet.forEach((text, i) => {
    write(text, top + height + MARGIN + (i + 0.6) * LINE, 12, iron, '400');
  });
  return new Blob([new XMLSerializer().serializeToString(out)], { type: 'image/svg+xml' });
}
