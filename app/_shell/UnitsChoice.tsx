'use client';

import { useEffect, useId, useRef, useState, type ReactElement } from 'react';
import type { Display } from '../../lib/units/display';
import { terms, type Label } from '../../lib/words/labels';
import { TechniciansSwitch } from './TechniciansSwitch';
import { chooseUnits, useUnits } from './useUnits';

interface Choice<Value> {
  readonly value: Value;
  readonly name: Label;
}

const systemChoices: readonly Choice<Display['system']>[] = [
  { value: 'metric', name: terms.metric },
  { value: 'us', name: terms.customary },
];
const angleChoices: readonly Choice<Display['angles']>[] = [
  { value: 'cam', name: terms.camDegrees },
  { value: 'crank', name: terms.crankDegrees },
  { value: 'minutes', name: terms.camMinutes },
];

interface GroupProps<Value extends string> {
  readonly legend: string;
  readonly choices: readonly Choice<Value>[];
  readonly value: Value;
  readonly onPick: (value: Value) => void;
}

function Group<Value extends string>({ legend, choices, value, onPick }: GroupProps<Value>): ReactElement {
  const id = useId();
  return (
    <fieldset>
      <legend>{legend}</legend>
      {choices.map((choice) => (
        <div key={choice.value} className="units-choice">
          <label>
            <input
              type="radio"
              name={id}
              checked={choice.value === value}
              aria-describedby={`${id} ${choice.value}`.replaceAll(' ', '-')}
              onChange={() => {
                onPick(choice.value);
              }}
            />{' '}
            {choice.name.text}
          </label>
          <p id={`${id} ${choice.value}`.replaceAll(' ', '-')}>{choice.name.meaning}</p>
        </div>
      ))}
    </fieldset>
  );
}

/** Lets the reader choose the units that pages show: a button in the head, and a panel under it while it is open. */
export function UnitsChoice(): ReactElement {
  const { display } = useUnits();
  const [open, setOpen] = useState(false);
  const id = useId();
  const place = useRef<HTMLDivElement | null>(null);
  const button = useRef<HTMLButtonElement | null>(null);
  useEffect(() => {
    if (!open) return;
    const outside = (event: Event): void => {
      if (event.target instanceof Node && place.current?.contains(event.target) === false) setOpen(false);
    };
    const escape = (event: KeyboardEvent): void => {
      if (event.key !== 'Escape') return;
      setOpen(false);
      button.current?.focus();
    };
    document.addEventListener('pointerdown', outside);
    document.addEventListener('focusin', outside);
    document.addEventListener('keydown', escape);
    return () => {
      document.removeEventListener('pointerdown', outside);
      document.removeEventListener('focusin', outside);
      document.removeEventListener('keydown', escape);
    };
  }, [open]);
  return (
    <div className="units" ref={place}>
      <button
        type="button"
        ref={button}
        aria-expanded={open}
        aria-controls={open ? id : undefined}
        onClick={() => {
          setOpen(!open);
        }}
      >
        Units
      </button>
      {open ? (
        <div className="units-panel" id={id} role="group" aria-label="Units shown">
          <Group
            legend="Lengths, pressures, temperatures"
            choices={systemChoices}
            value={display.system}
            onPick={(system) => {
              chooseUnits({ system });
            }}
          />
          <Group
            legend="Angles of the camshaft"
            choices={angleChoices}
            value={display.angles}
            onPick={(angles) => {
              chooseUnits({ angles });
            }}
          />
          <p className="units-note">
            Volumes stay in cm³ and mm³/stroke. Only what you see changes: the log, its verdicts and plans, and files of
            results stay in the log&apos;s own units.
          </p>
          <fieldset>
            <legend>People</legend>
            <TechniciansSwitch id={`${id}-people`} />
          </fieldset>
        </div>
      ) : null}
    </div>
  );
}
