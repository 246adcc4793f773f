const addressOf = (link: SVGAElement): string => link.href.baseVal;

/**
 * Makes the links among a plot's marks go through `follow`, so that the open log stays. They are one stop of the Tab key: the arrow
 * keys go from one to the next in the order drawn, Enter follows.
 */
export function makeLinks(drawn: Element, follow: (address: string) => void): void {
  const links = [...drawn.querySelectorAll<SVGAElement>('a')];
  links.forEach((link, k) => {
    link.setAttribute('tabindex', k === 0 ? '0' : '-1');
    // The name stands on the shape inside; the link is what is read out.
    const shape = link.firstElementChild;
    link.setAttribute('aria-label', shape?.getAttribute('aria-label') ?? '');
    shape?.removeAttribute('aria-label');
    // Else Plot pins its note under the pointer, and the click lands on that.
    link.addEventListener('pointerdown', (event) => {
      event.stopPropagation();
    });
    link.addEventListener('click', (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      follow(addressOf(link));
    });
    link.addEventListener('keydown', (event) => {
      const to = { ArrowRight: links[k + 1], ArrowLeft: links[k - 1], Home: links[0], End: links.at(-1) }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      link.setAttribute('tabindex', '-1');
      to.setAttribute('tabindex', '0');
      to.focus();
    });
  });
}
