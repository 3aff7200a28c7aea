// Voltages that no supply of the profile gives: a unit of another system on the bench, or a probe whose factor is not told.
// Nobody is accused by them, for every limit rests on the profile's supply.

import { type Capture, type Channel, sampledChannels } from '../capture/index.js';
import { isFullThrow, type MeasureResult, readingOf, UNSEEN_SUPPLY } from '../measure/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { amount, significant } from '../tell/index.js';
import { CAPTURE_IN_DOUBT, type Doubt } from './in-doubt.js';

/** A 12 V system has 16 V at most (ISO 16750-2), 1.08 times the most that a supply nobody read may have here. */
const BEYOND_PART = 1.08;
/** A probe of ten to one that is read as it comes, within what supply and drops leave open. Choice of this program, no source. */
const TENTH = { least: 0.065, most: 0.14 };
/** Of a tenth the winding takes so many times as much current as the voltage could drive through it. Choice of this program, no source. */
const CANNOT_DRIVE = 3;
/** A motor that turns takes less than this part of its start; a shorted one, which leaves as little voltage, does not. Choice of this program, no source. */
const RUNS_PART = 0.6;
/** Told as twice. */
const TWICE = { least: 1.7, most: 2.3 };

/** @param nominalSupplyV of the profile @param motor of it, as far as its numbers are known */
export function levelDoubts(
  { measured, segments, notSampled }: Pick<MeasureResult, 'measured' | 'segments' | 'notSampled'>,
  { channels }: Capture,
  { nominalSupplyV, motor }: { nominalSupplyV: number; motor: Pick<ResolvedUnit['motor'], 'resistanceOhm'> },
): Doubt[] {
  const thrown = segments.flatMap(({ of }) => {
    const volts = readingOf(measured, 'motorVoltageV', of)?.value;
    return isFullThrow(of) && volts !== undefined ? [{ of, volts: Math.abs(volts) }] : [];
  });
  const highest = thrown.sort((a, b) => b.volts - a.volts)[0];
  if (highest === undefined) return [];
  const { of, volts } = highest;
  const doubt = (sentence: string): Doubt[] => [
    { ...{ kind: CAPTURE_IN_DOUBT, isWhole: true, sentence }, channels: sampledOf(channels) },
  ];
  const part = volts / nominalSupplyV;
  if (notSampled.includes('supplyVoltageV') && part > BEYOND_PART * UNSEEN_SUPPLY.most) {
    const times =
      part > TWICE.least && part < TWICE.most ? 'about twice' : `${significant(part, 2, '')} times`.trim();
    return doubt(
      `Driven the motor gets ${amount(volts, 'V', 1)}: that fits a supply of ${times} the profile's ${amount(nominalSupplyV, 'V', 0)}, or a probe whose factor is wrong. Judge it by a profile for that supply, or say the factor with --column.`,
    );
  }
  const { resistanceOhm } = motor;
  const windingOhm = typeof resistanceOhm === 'number' ? resistanceOhm : resistanceOhm.nominal;
  const inrushA = Math.abs(readingOf(measured, 'inrushPeakA', of)?.value ?? 0);
  const isTenth = part > TENTH.least && part < TENTH.most;
  const runsA = Math.abs(readingOf(measured, 'runningCurrentA', of)?.value ?? inrushA);
  if (isTenth && runsA < RUNS_PART * inrushA && inrushA * windingOhm > CANNOT_DRIVE * volts)
    return doubt(
      `Driven the motor reads ${amount(volts, 'V', 2)}, a tenth of the profile's ${amount(nominalSupplyV, 'V', 0)}, and takes ${significant(inrushA, 3, 'A')}: the probe's factor of ten is not in the voltages. Say it with --column, such as lead-a=COLUMN:10.`,
    );
  return [];
}

const sampledOf = (channels: Capture['channels']): Channel[] =>
  sampledChannels(channels).map(([channel]) => channel);
