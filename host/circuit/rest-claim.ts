// What a style says of its rest against what its netlist does there: the motor is taken out and a small source put in its
// place, one way and the other. Where its voltage breaks down some path joins the leads, and a running motor brakes in it.

import type { CircuitStyle } from '../profile/index.js';
import type { BrokenClaim } from './broken-claim.js';
import { type CircuitElement, type ControlSetting, GROUND } from './netlist.js';
import { simulate } from './simulate.js';
import type { UnitCircuit } from './unit-input.js';

/** High beside any path that brakes, low beside dividers and damping resistors. */
const PROBE_OHM = 100;
const PROBE_V = 6;
const OUT_OHM = 1e6;
const REST_S = 0.05;
const SAMPLE_RATE_HZ = 1000;
/** Of the voltage put there: what is less is joined, what is more is open, between them nothing is claimed. Choice of this program. */
const JOINED_PART = 0.1;
const OPEN_PART = 0.5;

type Held = 'open' | 'grounded' | 'high';

const HELD_WORDS: Record<Held, string> = {
  open: 'no path joins the motor leads',
  grounded: 'both motor leads are joined to ground',
  high: 'both motor leads are joined to the feed',
};
const RELEASE_WORDS = {
  coast: 'no path joins the leads of the released motor: it coasts',
  brake: 'a path joins the leads of the released motor: it brakes',
} as const;

/**
 * The first of `restState` and `release` that the circuit contradicts; undefined where both hold, or where it cannot be told.
 * @param rest settings of the place that is looked at
 * @param words of that place, in front of a sentence; empty for the first
 */
export function brokenRest(
  unit: UnitCircuit,
  rest: readonly ControlSetting[],
  { style, words }: { style: CircuitStyle; words: string },
): BrokenClaim | undefined {
  const { a, b } = motorEnds(unit);
  const apart = [PROBE_V, -PROBE_V].map((voltageV) => {
    const put = { ...SOURCE, plus: a, minus: b, voltageV };
    const { aV, bV } = leadsAtRest(unit, rest, [put]);
    return Math.abs(aV - bV) / PROBE_V;
  });
  const isOpen = apart.every((part) => part > OPEN_PART);
  const isJoined = apart.every((part) => part < JOINED_PART);
  if (!isOpen && !isJoined) return undefined;
  const held = isOpen ? 'open' : heldAt(unit, rest);
  if (held !== undefined && held !== style.restState)
    return {
      place: ['restState'],
      what: `${words}with nothing thrown ${HELD_WORDS[held]}`,
      mend: `write restState: ${held}, or correct what is joined at rest`,
    };
  const release = isOpen ? 'coast' : 'brake';
  if (release !== style.release)
    return {
      place: ['release'],
      what: `${words}${RELEASE_WORDS[release]}`,
      mend: `write release: ${release}, or correct what is joined at rest`,
    };
  return undefined;
}

const SOURCE = { kind: 'supply', id: 'probe', sourceResistanceOhm: PROBE_OHM } as const;

/** Of joined leads, told by pulling them up and down; joined to each other alone they are neither. */
function heldAt(unit: UnitCircuit, rest: readonly ControlSetting[]): Held | undefined {
  const { a } = motorEnds(unit);
  const pulledTo = (voltageV: number): Leads =>
    leadsAtRest(unit, rest, [{ ...SOURCE, plus: a, minus: GROUND, voltageV }]);
  const pulled = [pulledTo(PROBE_V), pulledTo(-PROBE_V)];
  const isAll = (holds: (leadV: number) => boolean): boolean =>
    pulled.every(({ aV, bV }) => holds(aV) && holds(bV));
  if (isAll((leadV) => Math.abs(leadV) < JOINED_PART * PROBE_V)) return 'grounded';
  return isAll((leadV) => leadV > PROBE_V) ? 'high' : undefined;
}

function motorEnds({ netlist, motorId }: UnitCircuit): { a: string; b: string } {
  const motor = netlist.elements.find(({ id }) => id === motorId);
  if (motor === undefined || !('a' in motor)) throw new RangeError(`brokenRest: no motor ${motorId}`);
  return { a: motor.a, b: motor.b };
}

interface Leads {
  aV: number;
  bV: number;
}

/** Limit switches as they are on the way, closed. */
function leadsAtRest(
  unit: UnitCircuit,
  rest: readonly ControlSetting[],
  put: readonly CircuitElement[],
): Leads {
  const { a, b } = motorEnds(unit);
  const resistor = (id: string, ends: { a: string; b: string }, resistanceOhm: number): CircuitElement => ({
    ...{ kind: 'resistor', id, a: ends.a, b: ends.b, resistanceOhm },
  });
  const elements = unit.netlist.elements.map((element) => {
    if (element.id === unit.motorId) return resistor(element.id, { a, b }, OUT_OHM);
    return element.kind === 'limit' ? resistor(element.id, element, element.contactResistanceOhm) : element;
  });
  const { values } = simulate({
    netlist: { elements: [...elements, ...put] },
    schedule: [{ atS: 0, settings: [...unit.controls.feed.full, ...unit.controls.position.rest, ...rest] }],
    untilS: REST_S,
    sampleRateHz: SAMPLE_RATE_HZ,
    probes: { aV: { kind: 'voltage', plus: a }, bV: { kind: 'voltage', plus: b } },
    options: { keepsEnergy: false },
  });
  return { aV: values.aV?.at(-2) ?? 0, bV: values.bV?.at(-2) ?? 0 };
}
