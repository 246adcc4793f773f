import type { ReactElement, ReactNode } from 'react';

/** A plain word where there is nothing to draw, or too little. */
export function Note({ children, warm }: { children: ReactNode; warm?: boolean }): ReactElement {
  return <p className={warm === true ? 'note note-warm' : 'note'}>{children}</p>;
}

/** Stands wherever a figure tells a hand what to do. */
export function ShimCaution(): ReactElement {
  return (
    <p className="caution">
      Check every change against the pump maker&apos;s current test specification before a barrel comes off. Stop the
      bench and wait until the lines have no pressure: injection spray pierces skin and is a surgical emergency. Keep
      the coupling and the drive guarded. The licensed practitioner decides; these figures advise.
    </p>
  );
}

/** The cautions at the foot of every page. */
export function Cautions(): ReactElement {
  return (
    <>
      <p>
        <strong>Before you act on a figure.</strong> Injection spray pierces skin and is a surgical emergency. The
        coupling and the drive must be guarded. Calibration fluid is flammable and a skin hazard.
      </p>
      <p>
        The pump maker&apos;s current test specification, local codes and the licensed practitioner decide. Shimbook
        advises.
      </p>
      <p className="quiet">The log stays in this browser. Nothing in it is sent anywhere.</p>
    </>
  );
}
