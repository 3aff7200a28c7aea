// What a style says of itself against what its netlist does: which way each throw drives the motor and that its current
// passes the rig's shunts, what holds the leads at rest and whether that brakes, that nothing shorts the supply. A file of
// one's own is easily right in every key and wrong in a jumper.

import type { CircuitStyle } from '../profile/index.js';
import type { ControlSetting } from './netlist.js';
import { brokenRest } from './rest-claim.js';
import { simulate } from './simulate.js';
import { buildUnitCircuit } from './unit-circuit.js';
import type { UnitCircuit, UnitCircuitInput } from './unit-input.js';
import { placeNode } from './unit-rig.js';

export interface BrokenClaim {
  /** From the top of the style's file. */
  place: readonly string[];
  what: string;
  mend: string;
}

/** Relays pull in within 20 ms (common practice); a held rotor's current has risen within 10. */
const REST_S = 0.05;
const THROWN_S = 0.05;
const SAMPLE_RATE_HZ = 1000;
/** Of the supply, between the leads of a motor that is meant to be driven. */
const DRIVEN_PART = 0.05;
/** Of the motor's current, what at least the rig's shunts must see of it. Choice of this program, no source. */
const SEEN_PART = 0.9;
/** Past the motor, coils and lamps left out: no more than a short takes. Common practice, no source. */
const SHORT_A = 20;

interface Drive {
  /** Lead A against lead B. */
  motorV: number;
  /** Out of the feed and not through the motor. */
  pastMotorA: number;
  /** Of the motor's current, the parts that the rig's feed and the channel of the motor's current see; 1 of none. */
  feedPart: number;
  sensedPart: number;
}

type Place = { path: readonly string[]; words: string; controls: UnitCircuit['controls']['position'] };

const WAYS = ['forward', 'reverse'] as const;
type Way = (typeof WAYS)[number];
const THROWN: Record<Way, string> = { forward: 'thrown forward', reverse: 'thrown in reverse' };

/**
 * The first thing that the circuit does not do as its file says; undefined where all holds, or nothing is driven in it.
 * @throws CircuitError where it cannot be solved
 */
export function brokenClaim(input: UnitCircuitInput): BrokenClaim | undefined {
  const { style } = input;
  if (!style.elements.some(({ kind }) => kind === 'motor')) return undefined;
  const { faults: _faults, ...whole } = input;
  const unit = buildUnitCircuit({ ...whole, rotorHeld: true });
  const places: Place[] = [
    { path: ['positions'], words: '', controls: unit.controls.position },
    ...Object.entries(unit.controls.stations).map(([name, controls]) => ({
      path: ['stations', name, 'positions'],
      words: `${style.stations[name]?.title ?? name}, `,
      controls,
    })),
  ];
  for (const place of places) {
    const found = brokenAt(place, unit, input);
    if (found !== undefined) return found;
  }
  return undefined;
}

function brokenAt(place: Place, unit: UnitCircuit, input: UnitCircuitInput): BrokenClaim | undefined {
  const driven = (volts: number): number =>
    Math.abs(volts) < DRIVEN_PART * input.supply.voltageV ? 0 : Math.sign(volts);
  const at = (position: keyof Place['controls']) => ({
    place: [...place.path, position],
    thrown: `${place.words}${position === 'rest' ? 'with nothing thrown' : THROWN[position]}`,
  });
  const solved = WAYS.map((way) => ({ way, ...throwOver(place.controls[way], place, unit) }));
  const [first] = solved;
  if (first !== undefined) {
    const { place: path, thrown } = at('rest');
    if (first.rest.pastMotorA > SHORT_A) return shorted(path, thrown, first.rest);
    if (driven(first.rest.motorV) !== 0)
      return {
        place: path,
        what: `${thrown} the motor is driven`,
        mend: 'open a contact, or correct this line',
      };
  }
  for (const { way, thrown: drive } of solved) {
    const { place: path, thrown } = at(way);
    if (drive.pastMotorA > SHORT_A) return shorted(path, thrown, drive);
    const found =
      wrongWay(input.style, way, driven(drive.motorV), { path, thrown }) ??
      (driven(drive.motorV) === 0 ? undefined : pastTheRig(path, thrown, drive));
    if (found !== undefined) return found;
  }
  return brokenRest(unit, place.controls.rest, { style: input.style, words: place.words });
}

/** Past its feed relay nothing could switch it off; past its shunts nothing would be measured. */
function pastTheRig(
  place: readonly string[],
  thrown: string,
  { feedPart, sensedPart }: Drive,
): BrokenClaim | undefined {
  if (feedPart < SEEN_PART)
    return {
      place,
      what: `${thrown} the motor's current comes past the rig's feed, whose relay could not switch it off`,
      mend: 'join the wire that feeds the motor to rig.feed alone, or correct this line',
    };
  if (sensedPart < SEEN_PART)
    return {
      place,
      what: `${thrown} the motor's current flows past where motorCurrentA is read`,
      mend: 'join the leads to rig.lead-a and rig.lead-b, the motor to rig.motor-a and rig.motor-b',
    };
  return undefined;
}

const shorted = (place: readonly string[], thrown: string, { pastMotorA }: Drive): BrokenClaim => ({
  place,
  what: `${thrown} the feed is shorted: ${Math.round(pastMotorA)} A flow past the motor`,
  mend: 'take out what joins feed and ground, or correct this line',
});

const SIGN = { positive: 1, negative: -1, none: 0 } as const;

/** @param driven sign of lead A against lead B, 0 where nothing is between them */
function wrongWay(
  { polarity }: CircuitStyle,
  way: Way,
  driven: number,
  { path, thrown }: { path: readonly string[]; thrown: string },
): BrokenClaim | undefined {
  const wanted = SIGN[polarity[way]];
  if (driven === wanted) return undefined;
  if (driven === 0)
    return {
      place: path,
      what: `${thrown} the motor gets nothing`,
      mend: `join what is missing on its way from feed to ground, or write polarity ${way}: none`,
    };
  const is = driven > 0 ? 'positive' : 'negative';
  return {
    place: ['polarity', way],
    what: `${thrown} lead A of the motor is ${is} against lead B`,
    mend:
      wanted === 0 ? `write ${is}, or open a contact` : `write ${is}, or correct jumpers, leads or positions`,
  };
}

function throwOver(
  to: ControlSetting[],
  { controls }: Place,
  unit: UnitCircuit,
): { rest: Drive; thrown: Drive } {
  const own = unit.controls.position.rest;
  const { values } = simulate({
    netlist: unit.netlist,
    schedule: [
      { atS: 0, settings: [...unit.controls.feed.full, ...own, ...controls.rest] },
      { atS: REST_S, settings: to },
    ],
    untilS: REST_S + THROWN_S,
    sampleRateHz: SAMPLE_RATE_HZ,
    probes: {
      motorV: { kind: 'voltage', plus: placeNode('rig.motor-a'), minus: placeNode('rig.motor-b') },
      motorA: { kind: 'current', element: unit.motorId },
      feedA: { kind: 'current', element: 'rig.feed-shunt' },
      sensedA: unit.probes.motorCurrentA,
    },
    options: { keepsEnergy: false },
  });
  const driveAt = (timeS: number): Drive => {
    const value = (name: 'motorV' | 'motorA' | 'feedA' | 'sensedA'): number =>
      values[name]?.[Math.round(timeS * SAMPLE_RATE_HZ) - 2] ?? 0;
    const motorA = Math.abs(value('motorA'));
    const partOf = (name: 'feedA' | 'sensedA'): number => (motorA === 0 ? 1 : Math.abs(value(name)) / motorA);
    return {
      motorV: value('motorV'),
      pastMotorA: Math.abs(value('feedA')) - motorA,
      feedPart: partOf('feedA'),
      sensedPart: partOf('sensedA'),
    };
  };
  return { rest: driveAt(REST_S), thrown: driveAt(REST_S + THROWN_S) };
}
