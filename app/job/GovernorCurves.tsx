'use client';

import { useCallback, useMemo, type ReactElement } from 'react';
import type { Room } from '../../lib/charts/frame';
import { rackCurvePlot, type RackBand, type RackReading } from '../../lib/charts/governor';
import type { JobGovernor } from '../../lib/store/questions/jobGovernor';
import type { JobGovernorCheck } from '../../lib/store/questions/jobGovernorChecks';
import { counted } from '../../lib/words/figures';
import { logLabel, resultLabel, terms } from '../../lib/words/labels';
import type { Unit } from '../../lib/units/units';
import { Frame } from '../_shell/Frame';
import { Written, Figure } from '../_shell/Figure';
import { Keys } from '../_shell/Keys';
import { Sheet, type SheetColumn } from '../_shell/Sheet';

/** A curve against boost pressure, or against speed without boost. */
type Along = 'boost' | 'speed';

const facts: Readonly<Record<Along, { readonly text: string; readonly unit: Unit; readonly title: string }>> = {
  boost: { text: 'Boost pressure', unit: 'kpa', title: 'Boost compensator: rack travel against boost pressure' },
  speed: { text: 'Pump speed', unit: 'rpm', title: 'Governor and torque control: rack travel against speed' },
};

const placeOf = (along: Along, check: JobGovernorCheck): number | null =>
  along === 'boost' ? check.at_boost_kpa : check.at_boost_kpa === null ? check.at_rpm : null;

function bandsOf(along: Along, checks: readonly JobGovernorCheck[]): RackBand[] {
  return checks.flatMap((check): RackBand[] => {
    const at = placeOf(along, check);
    const { run, low, high, value, verdict } = check;
    if (check.unit !== 'mm' || at === null || low === null || high === null) return [];
    return [{ run, at, low, high, rack_mm: value, verdict }];
  });
}

/** A check's readings are a curve where three or more of one run have both place and rack. */
const FEWEST = 3;

function readingsOf(along: Along, readings: readonly JobGovernor[]): RackReading[] {
  const placed = readings.flatMap(({ run, check_id, speed_rpm, boost_kpa, rack_mm }): RackReading[] => {
    const at = along === 'boost' ? boost_kpa : boost_kpa === null ? speed_rpm : null;
    return at === null || rack_mm === null ? [] : [{ run, check_id, at, rack_mm }];
  });
  const alike = (a: RackReading, b: RackReading): boolean => a.run === b.run && a.check_id === b.check_id;
  return placed.filter((row) => placed.filter((other) => alike(row, other)).length >= FEWEST);
}

interface Props {
  readonly checks: readonly JobGovernorCheck[];
  readonly readings: readonly JobGovernor[];
}

function Curve({ along, checks, readings: all }: Props & { readonly along: Along }): ReactElement | null {
  const bands = useMemo(() => bandsOf(along, checks), [along, checks]);
  const readings = useMemo(() => readingsOf(along, all), [along, all]);
  const { unit, title } = facts[along];
  const draw = useCallback(
    (room: Room) => rackCurvePlot(bands, readings, facts[along], room),
    [bands, readings, along],
  );
  if (new Set(bands.map((band) => band.at)).size < 2) return null;
  const columns: readonly SheetColumn<RackBand>[] = [
    { label: resultLabel('governor_checks', 'run'), cell: (row) => row.run, number: true },
    {
      label:
        along === 'boost' ? resultLabel('governor_checks', 'at_boost_kpa') : resultLabel('governor_checks', 'at_rpm'),
      cell: (row) => <Figure value={row.at} unit={unit} bare />,
      number: true,
    },
    {
      label: logLabel('governor', 'rack_mm'),
      cell: (row) => <Figure value={row.rack_mm} unit="mm" within={[row.low, row.high]} bare />,
      number: true,
    },
    {
      label: terms.bandAllowed,
      cell: (row) => <Written>{(write) => write.beside(row.rack_mm, [row.low, row.high], 'mm').band}</Written>,
      number: true,
    },
    { label: resultLabel('governor_checks', 'verdict'), cell: (row) => row.verdict },
  ];
  return (
    <Frame
      title={title}
      n={`${counted(bands.length, 'band')}${readings.length === 0 ? '' : `, ${counted(readings.length, 'reading')} of sweeps`}`}
      method="Bars: the rack travel that the specification allows there. Dots: what was found; a diamond is out. Grey lines join the readings of one sweep, from which speeds are interpolated."
      keys={
        <Keys
          marks={[
            ['blue dot', 'found'],
            ['bar', 'allowed'],
          ]}
        />
      }
      table={
        <Sheet
          caption={title}
          hideCaption
          columns={columns}
          rows={bands}
          rowKey={(row) => `${row.run} ${row.at} ${row.low} ${row.high}`}
        />
      }
      draw={draw}
    />
  );
}

const ALONG: readonly Along[] = ['boost', 'speed'];

/** Curves of the governor and its accessories, where a job has at least two bands along one. */
export function GovernorCurves(props: Props): ReactElement {
  return (
    <>
      {ALONG.map((along) => (
        <Curve key={along} along={along} {...props} />
      ))}
    </>
  );
}
