// Which circuit styles a capture reads like, of all that there are; offered to be confirmed, never taken by itself.

import type { Capture } from '../capture/index.js';
import { type RecognisedStyle, readingOfRun, recognise } from '../judge/index.js';
import { type MeasureOptions, measure } from '../measure/index.js';
import { listProfiles, loadCircuit, type ResolvedUnit } from '../profile/index.js';

/** Less likely ones are not worth a line. */
const LEAST_LIKELIHOOD = 0.02;

/** Ranked, likeliest first; those of a motor or relay alone are no circuits of a unit and left out. */
export function circuitsLike(
  capture: Capture,
  unit: ResolvedUnit,
  options: MeasureOptions = {},
): RecognisedStyle[] {
  const { nominalVoltageV } = unit.motor;
  const seen = measure(capture, { rig: unit.rig, nominalVoltageV, ripple: false, ...options });
  const styles = listProfiles('circuit')
    .filter(({ fault }) => fault === undefined)
    .map(({ id }) => loadCircuit(id))
    .filter(({ subject }) => subject === undefined);
  return recognise(readingOfRun(seen, nominalVoltageV), styles);
}

export function circuitsText(circuits: readonly RecognisedStyle[], unit: ResolvedUnit): string {
  const told = circuits.filter(({ likelihood }) => likelihood >= LEAST_LIKELIHOOD);
  const own = circuits.find(({ ids }) => ids.includes(unit.style.id));
  return [
    'Reads like:',
    ...told.map(
      ({ ids, likelihood }) => `  ${`${Math.round(100 * likelihood)} %`.padStart(5)}  ${ids.join(' or ')}`,
    ),
    ...(own && told[0] !== own
      ? own.against.map((words) => `  It reads like ${words}: is the profile right?`)
      : []),
    `Judged as ${unit.style.id}; --circuit ID judges it as another.`,
    '',
  ].join('\n');
}
