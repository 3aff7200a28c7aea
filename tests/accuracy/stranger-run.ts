// A random unit as a person with another instrument would bring it: no rig between, every throw at the full feed, only some
// of the channels, and things that happen on a bench and are not the unit's doing. Written as a table and read back.

import { type Capture, CHANNEL, type Channel, readCaptureCsv } from '../../host/capture/index.js';
import type { Netlist, SeededRandom, UnitCircuit } from '../../host/circuit/index.js';
import { LEAD_IN_S, type Plan, type ResolvedUnit } from '../../host/profile/index.js';
import { chance, SimulatedBench } from '../../host/virtual-rig/index.js';
import { weldable, weldsAt } from '../circuit/weld.js';
import { type Happening, runDirectly } from './direct-run.js';
import type { RandomUnit } from './random-unit.js';

const LEADS: readonly Channel[] = ['motorCurrentA', 'leadAVoltageV', 'leadBVoltageV'];
export const SEEN = {
  all: [...LEADS, 'supplyVoltageV', 'feedCurrentA'],
  leads: LEADS,
  current: ['motorCurrentA'],
} as const satisfies Record<string, readonly Channel[]>;
export type Seen = keyof typeof SEEN;

/** Between its throws, as long as hands take (common practice, no source). */
const REST_S = 0.7;
const THROW_S = 0.9;
const FORWARD_S = LEAD_IN_S + 0.4;

const steps = (rests: boolean): Plan['steps'] =>
  [
    { position: 'rest', feed: 'full', durationS: 0.4 },
    { position: 'forward', feed: 'full', durationS: THROW_S },
    ...(rests ? [{ position: 'rest', feed: 'full', durationS: REST_S } as const] : []),
    { position: 'reverse', feed: 'full', durationS: THROW_S },
    { position: 'rest', feed: 'full', durationS: REST_S },
  ] as Plan['steps'];

const edited =
  (edit: (element: Netlist['elements'][number]) => Netlist['elements'][number]) =>
  (circuit: UnitCircuit): UnitCircuit => ({
    ...circuit,
    netlist: { ...circuit.netlist, elements: circuit.netlist.elements.map(edit) },
  });

const supplyIs = (to: (voltageV: number) => [number, number][], ohm?: number) =>
  edited((element) =>
    element.kind === 'supply' && typeof element.voltageV === 'number'
      ? {
          ...element,
          voltageV: to(element.voltageV),
          ...(ohm === undefined ? {} : { sourceResistanceOhm: ohm }),
        }
      : element,
  );
const loadIs = (points: (runNm: number) => [number, number][]) =>
  edited((element) =>
    element.kind === 'motor' ? { ...element, loadNm: points(element.coulombNm ?? 0) } : element,
  );

/** What happens beside the unit; the numbers are common practice, no source. */
export const HAPPENS = {
  nothing: () => ({}),
  /** Another load starts: down by a fifth to a third for 0.1 to 0.3 s. */
  dip: (random) => {
    const fromS = FORWARD_S + 0.9 * random.uniform();
    const [depth, lastsS] = [0.2 + 0.13 * random.uniform(), 0.1 + 0.2 * random.uniform()];
    return {
      wired: supplyIs((v) => [
        [0, v],
        [fromS, v],
        [fromS + 0.005, v * (1 - depth)],
        [fromS + lastsS, v * (1 - depth)],
        [fromS + lastsS + 0.005, v],
      ]),
    };
  },
  tired: (random) => ({ wired: supplyIs((v) => [[0, v]], 0.1 + 0.25 * random.uniform()) }),
  rises: (random) => ({
    wired: supplyIs((v) => [
      [0, v * (0.85 + 0.1 * random.uniform())],
      [LEAD_IN_S + 4, v],
    ]),
  }),
  /** Runs onto its end, or jams, and is let go. */
  stops: (random) => {
    const atS = FORWARD_S + 0.35 + 0.35 * random.uniform();
    const settings = (state: string) => [{ element: 'motor', state }];
    return {
      schedule: [
        { atS, settings: settings('held') },
        { atS: FORWARD_S + THROW_S + 0.2, settings: settings('free') },
      ],
    };
  },
  steps: (random) => {
    const atS = FORWARD_S + 0.35 + 0.35 * random.uniform();
    const factor = 0.5 + random.uniform();
    return {
      wired: loadIs((runNm) => [
        [0, 0],
        [atS, 0],
        [atS + 0.02, factor * runNm],
        [FORWARD_S + THROW_S, factor * runNm],
        [FORWARD_S + THROW_S + 0.05, 0],
      ]),
    };
  },
  reversal: () => ({}),
  /** Contact 30-87 of the relay that is pulled in welds while it carries the motor. */
  welds: (random, one) => welded(asThrown(one), FORWARD_S + 0.2 + 0.5 * random.uniform()),
} satisfies Record<string, (random: SeededRandom, unit: RandomUnit) => Happening>;
export type Happens = keyof typeof HAPPENS;

/** The relay that the forward throw pulls in, by its events. */
function pulledForward({ unit, virtualCase, seed }: RandomUnit): string | undefined {
  const bench = new SimulatedBench(unit, virtualCase, chance(seed));
  const outputs = { feedLimited: false, feedFull: true, throwReverse: false, coilFull: true };
  bench.outputsChanged(0.1, { ...outputs, throwForward: false });
  bench.outputsChanged(0.2, { ...outputs, throwForward: true });
  bench.adcCounts(0, 0.4);
  bench.outputsChanged(0.4, { ...outputs, throwForward: true });
  return bench.transient.takeEvents().find(({ what }) => what === 'pulled-in')?.element;
}

function welded(unit: RandomUnit, atS: number): Happening {
  const relay = pulledForward(unit);
  if (relay === undefined) throw new RangeError(`no relay of ${unit.unit.unit.id} pulls in forward`);
  return {
    wired: (circuit) => ({ ...circuit, netlist: weldable(circuit.netlist, relay) }),
    schedule: weldsAt(atS),
  };
}

/** Truth of a unit whose contact welds on the way; undefined where no relay of it changes forward. */
export const weldOf = (unit: RandomUnit): string | undefined => {
  const relay = pulledForward(unit);
  return relay === undefined ? undefined : `${relay}-make-welded`;
};

/** Nobody's firmware stops the run. */
const NO_TRIP = { motorCurrentA: 1e6, feedCurrentA: 1e6 };

/** Thrown by a hand, which no firmware stops. */
function asThrown(one: RandomUnit, rests = true): RandomUnit {
  const unit: ResolvedUnit = {
    ...one.unit,
    plan: { ...one.unit.plan, steps: steps(rests) },
    rig: { ...one.unit.rig, trip: { ...one.unit.rig.trip, ...NO_TRIP } },
  };
  return { ...one, unit };
}

export function strangerRun(
  one: RandomUnit,
  { seen, happens }: { seen: Seen; happens: Happens },
  happening: Happening,
): Capture {
  const { unit } = asThrown(one, happens !== 'reversal');
  const whole = runDirectly({ ...one, unit }, undefined, happening).capture;
  return readCaptureCsv(tableOf(whole, SEEN[seen]), 'logger.csv');
}

function tableOf({ timeS, channels }: Capture, wanted: readonly Channel[]): string {
  const rows = ['time (s)', ...wanted.map((name) => `${CHANNEL[name].label} (${CHANNEL[name].unit})`)].join(
    ',',
  );
  const lines: string[] = [rows];
  for (let k = 0; k < timeS.length; k++) {
    const atS = timeS[k] ?? 0;
    if (atS < LEAD_IN_S) continue;
    const cells = wanted.map((name) => (channels[name]?.[k] ?? 0).toFixed(3));
    lines.push([atS.toFixed(4), ...cells].join(','));
  }
  return `${lines.join('\n')}\n`;
}
