'use client';

import { plot, type PlotOptions } from '@observablehq/plot';
import { useEffect, useId, useRef, useState, type MouseEvent, type ReactElement, type ReactNode } from 'react';
import type { Room } from '../../lib/charts/frame';
import { makeLinks } from './markLinks';
import { pictureOf } from './picture';
import { fileName, save } from './save';
import { useUnits } from './useUnits';
import { useWidth } from './useWidth';

interface Props {
  /** States what is seen. */
  readonly title: string;
  /** How many readings it rests on, as a phrase: "212 jobs counted". */
  readonly n: string;
  /** How it was worked out, what was left out, where limits come from. */
  readonly method: string;
  /** What each mark means, where the plot does not say it itself. */
  readonly keys?: ReactNode;
  /** The same rows as a table. */
  readonly table: ReactNode;
  /** Either a plot, or a drawing of our own. Must not change from one render to the next while its rows do not. */
  readonly draw: ((room: Room) => PlotOptions) | { readonly picture: (room: Room) => ReactNode };
  /** Takes a person where a mark of the plot leads to; its marks are links then. */
  readonly follow?: (address: string) => void;
}

interface DrawnProps {
  readonly options: PlotOptions;
  readonly label: string;
  readonly follow?: ((address: string) => void) | undefined;
}

function Drawn({ options, label, follow }: DrawnProps): ReactElement {
  const ref = useRef<HTMLDivElement | null>(null);
  useEffect(() => {
    const drawn = plot(options);
    // The plot is one picture with one name; its layers have none of their own.
    for (const layer of drawn.querySelectorAll('g[aria-label]')) layer.removeAttribute('aria-label');
    drawn.setAttribute('role', follow === undefined ? 'img' : 'group');
    drawn.setAttribute('aria-label', label);
    if (follow !== undefined) makeLinks(drawn, follow);
    ref.current?.replaceChildren(drawn);
    return () => {
      drawn.remove();
    };
  }, [options, label, follow]);
  return <div ref={ref} />;
}

/** Holds one plot: title, n, the drawing, its method, "as table" and "save picture". */
export function Frame({ title, n, method, keys, table, draw, follow }: Props): ReactElement {
  const id = useId();
  const [place, width] = useWidth<HTMLDivElement>();
  const write = useUnits();
  const [asTable, setAsTable] = useState(false);

  const savePicture = (event: MouseEvent): void => {
    const svg = event.currentTarget.closest('section')?.querySelector('.frame-plot svg');
    if (svg instanceof SVGSVGElement) save(pictureOf(svg, title, [n, method]), fileName(title, 'svg'));
  };

  return (
    <section className="frame" aria-labelledby={id}>
      <div className="frame-head">
        <h3 id={id}>{title}</h3>
        <span className="frame-tools">
          <button
            type="button"
            className="plain"
            aria-pressed={asTable}
            onClick={() => {
              setAsTable(!asTable);
            }}
          >
            as table
          </button>
          <button type="button" className="plain" disabled={asTable} onClick={savePicture}>
            save picture
          </button>
        </span>
      </div>
      <p className="frame-n">{n}</p>
      {asTable ? (
        table
      ) : (
        <>
          {keys}
          <div className="frame-plot" ref={place}>
            {width === 0 ? null : typeof draw === 'function' ? (
              <Drawn options={draw({ width, write })} label={`${title}. ${n}.`} follow={follow} />
            ) : (
              draw.picture({ width, write })
            )}
          </div>
        </>
      )}
      <p className="frame-method">{method}</p>
    </section>
  );
}
