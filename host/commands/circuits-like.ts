// Which circuit styles a capture reads like, of all that there are; offered to be confirmed, never taken by itself.

import type { CircuitOffer } from '../bench/index.js';
import type { Capture } from '../capture/index.js';
import { InputError } from '../input/index.js';
import { type RecognisedStyle, readingOfRun, recognise } from '../judge/index.js';
import { type MeasureOptions, measure } from '../measure/index.js';
import { listProfiles, loadCircuit, loadUnit, type ResolvedUnit } from '../profile/index.js';

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

/** What a run of `profile` reads like, as an offer: its own circuit stands unless another one fits better. */
export function circuitOffer(
  capture: Capture,
  unit: ResolvedUnit,
  profile: string,
  runId: string,
): CircuitOffer {
  const circuits = circuitsLike(capture, unit);
  const [first] = circuits;
  const own = circuits.find(({ ids }) => ids.includes(unit.style.id));
  const ids = first?.ids ?? [];
  const likelihood = first?.likelihood ?? 0;
  const percent = `${Math.min(99, Math.round(100 * likelihood))} %`;
  const reads = `Reads like ${ids.join(' or ')} (${percent})`;
  const told = { ids, likelihood, howTo: '' };
  // Of equal ones the profile's is not questioned.
  if (!first || !own || own.likelihood >= first.likelihood)
    return { ...told, sentence: `${reads}, as the profile says.` };
  const against = own.against.map((words) => `: ${words}`).join('');
  const sentence = `${reads}, and the profile says ${unit.style.id}${against}.`;
  for (const circuit of ids) {
    try {
      const other = loadUnit(profile, undefined, { circuit });
      return {
        ...told,
        sentence,
        // What was driven, and by which rig, is what happened.
        as: {
          ...other,
          unit: { ...other.unit, temperatureC: unit.unit.temperatureC },
          plan: unit.plan,
          rig: unit.rig,
        },
        howTo: `If it is that: throwbench judge --recorded ${runId} --profile ${profile} --circuit ${circuit}`,
      };
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
    }
  }
  return {
    ...told,
    sentence: `${sentence} The profile has not what that circuit needs, so it is judged as its own.`,
  };
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
