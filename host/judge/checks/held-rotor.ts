// A plan that holds the rotor: the held current against the model, and what the motor's protector did. Also the mark
// of a run on a motor that a held rotor has just warmed.

import type { Capture } from '../../capture/index.js';
import { quantityOf } from '../../measure/index.js';
import { holdsRotor } from '../../profile/index.js';
import { heldThrows } from '../held-throws.js';
import type { Check } from '../verdict.js';
import { throwId, throwWords } from '../words.js';
import {
  type CheckContext,
  expectedLimits,
  modelOrigin,
  numberCheck,
  quantityIn,
  whyMissing,
} from './context.js';

/** Of a run that follows a held rotor too soon; written into the capture's notes, so that it stays with the record. */
export const TESTED_WARM = 'Tested warm:';

/** Checks that speak of a running motor; a held one has its own. */
const OF_A_RUNNING_MOTOR =
  /^(?:running|settling|symmetry|motor-signature|motor-parameters|ripple|envelope)(?:-|$)/;

/** Of a run that holds the rotor: without what only a running motor shows, with what a held one does. */
export function forHeldRotor(context: CheckContext, checks: readonly Check[], capture: Capture): Check[] {
  const warm = warmMark(capture);
  if (!holdsRotor(context.unit.plan)) return [...checks, ...protectorUntried(context), ...warm];
  const held = context.expectation.throws.flatMap(({ name }) => heldChecks(context, name));
  // Where the protector ended the current there was none left to release.
  const ended = heldThrows(capture).map(({ opensAfterS }) => opensAfterS !== undefined);
  const noRelease = new Set(
    context.expectation.throws.filter((_, i) => ended[i]).map(({ name }) => throwId('release', name)),
  );
  return [
    ...checks.filter(({ id }) => !OF_A_RUNNING_MOTOR.test(id) && !noRelease.has(id)),
    ...held,
    ...protectorCheck(context, capture),
    ...warm,
  ];
}

function heldChecks(context: CheckContext, name: string): Check[] {
  const feature = `${name}HeldRotorCurrentA`;
  const limits = expectedLimits(context, feature);
  if (!limits) return [];
  const turned = quantityIn(context, `${name}SettleS`) !== undefined;
  return [
    numberCheck({
      id: throwId('held-current', name),
      subject: `${throwWords(name)}, rotor held: the current stands at`,
      quantity: context.supplyHolds ? quantityIn(context, feature) : undefined,
      lower: Math.max(0, limits.lower),
      upper: limits.upper,
      origin: modelOrigin(context),
      missing: turned ? 'not tested, the rotor turned' : whyMissing(context, name),
      hint: 'Too little: brushes, winding or wiring; too much: turns in the armature are shorted.',
    }),
  ];
}

/** A run that holds no rotor says nothing of a protector, whatever else it passes. */
function protectorUntried({ unit }: CheckContext): Check[] {
  if (unit.motor.protector === undefined || unit.load !== undefined) return [];
  return [
    {
      id: 'protector',
      required: false,
      origin: unit.motor.origin,
      outcome: 'not-tested',
      sentence: 'Protector: not tested, the rotor was not held.',
    },
  ];
}

/** Published of window and seat motors: from cold at stall under 1 A within 4 to 90 s. */
const PUBLISHED = { opensFromS: 4, opensToS: 90 };

/**
 * A protector that never saw a held rotor long enough is not tested and never passed; it is asked for only where the
 * motor's profile does.
 */
function protectorCheck(context: CheckContext, capture: Capture): Check[] {
  const { protector, origin } = context.unit.motor;
  const base = {
    id: 'protector',
    required: protector !== undefined,
    origin: protector ? origin : ('published' as const),
  };
  const { opensFromS, opensToS } = protector ?? PUBLISHED;
  const throws = heldThrows(capture);
  const at = throws.findIndex(({ opensAfterS }) => opensAfterS !== undefined);
  const opened = throws[at]?.opensAfterS;
  if (opened !== undefined) {
    // The holds before it have warmed it already.
    const beforeS = throws.slice(0, at).reduce((sum, { heldS }) => sum + heldS, 0);
    const stepS = 1 / capture.sampleRateHz;
    return [
      numberCheck({
        ...base,
        subject: `Held${beforeS > 0 ? `, after ${beforeS.toFixed(1)} s held before` : ''}, the protector opens after`,
        quantity: quantityOf(opened, 's', [
          { standardUncertainty: stepS, degreesOfFreedom: Number.POSITIVE_INFINITY },
        ]),
        lower: Math.max(0, opensFromS - beforeS),
        upper: opensToS,
        missing: '',
        hint: 'Too soon: it opens in use; too late: it no longer protects. Both are a new motor.',
      }),
    ];
  }
  const longestS = Math.max(0, ...throws.map(({ heldS }) => heldS));
  const held = context.expectation.throws.some(
    ({ name }) => quantityIn(context, `${name}HeldRotorCurrentA`) !== undefined,
  );
  if (held && longestS > opensToS) {
    return [
      {
        ...base,
        outcome: 'fail',
        sentence: `Held for ${longestS.toFixed(0)} s, the protector does not open (expected within ${opensToS} s).`,
      },
    ];
  }
  const why = held
    ? `held for ${longestS.toFixed(1)} s, and protectors open in ${opensFromS} to ${opensToS} s`
    : 'the rotor was not held';
  return [{ ...base, outcome: 'not-tested', sentence: `Protector: not tested, ${why}.` }];
}

function warmMark({ notes }: Capture): Check[] {
  const note = notes.find((one) => one.startsWith(TESTED_WARM));
  if (note === undefined) return [];
  return [
    {
      id: 'tested-warm',
      required: false,
      outcome: 'not-tested',
      origin: 'published',
      sentence: `${note} A warm motor draws less at the start and more when it runs: repeat it cold.`,
    },
  ];
}
