// Which channels a rig's finer amplifier would read of a unit: those whose whole range of currents it sees.

import type { Channel } from '../capture/index.js';
import type { ResolvedUnit } from './load.js';
import type { FineChannel, RigProfile, Toleranced } from './schema.js';

type Scale = RigProfile['scales'][Channel];

/** What is left for noise and drift below the end of the finer scale. */
const OF_SCALE = 0.9;

/** The motor current of a motor, or load, so small that all of it lies on the rig's finer scale: held, cold, at the highest supply. */
export function finelyReadable({ unit, motor, rig, load }: ResolvedUnit): FineChannel[] {
  const endA = fineEndA(rig, 'motorCurrentA');
  if (endA === undefined || unit.subject === 'relay') return [];
  const { resistanceOhm } = load ?? motor;
  const heldA = ends(rig.supply.voltageV).most / ends(resistanceOhm).least;
  const mostA = Math.max(heldA, load ? 0 : (motor.family?.heldA.most ?? 0));
  return mostA <= OF_SCALE * endA ? ['motorCurrentA'] : [];
}

/** How far either way the finer scale goes; undefined where there is none. */
export function fineEndA({ fineScales, adcBits }: RigProfile, channel: FineChannel): number | undefined {
  const scale = fineScales?.[channel];
  if (scale === undefined) return undefined;
  return Math.min(-scale.atZeroCount, scale.atZeroCount + scale.perCount * (2 ** adcBits - 1));
}

/** By which a run read a channel: its finer scale where it was read so, until a reading lies beyond that. */
export function scaleRead(rig: RigProfile, channel: Channel, values?: Float64Array): Scale {
  const isFine = rig.readFinely?.some((fine) => fine === channel) === true;
  const fine = isFine ? rig.fineScales?.[channel as FineChannel] : undefined;
  const endA = fine && fineEndA(rig, channel as FineChannel);
  if (fine === undefined || endA === undefined) return rig.scales[channel];
  return values?.some((value) => Math.abs(value) > endA) ? rig.scales[channel] : fine;
}

function ends(value: Toleranced): { least: number; most: number } {
  const [nominal, part] =
    typeof value === 'number' ? [value, 0] : [value.nominal, value.tolerancePercent / 100];
  return { least: nominal * (1 - part), most: nominal * (1 + part) };
}
