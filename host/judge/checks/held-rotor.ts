// A plan that holds the rotor: the held current against the model, and what the motor's protector did. Also the mark
// of a run on a motor that a held rotor has just warmed.

import type { Capture } from '../../capture/index.js';
import { atStart, lineOf, quantityOf, type RunStretch } from '../../measure/index.js';
import { holdsRotor } from '../../profile/index.js';
import { amount } from '../../tell/index.js';
import { checkOf, numberCheck } from '../check.js';
import { heldThrows } from '../held-throws.js';
import type { Check, CheckKind } from '../verdict.js';
import { type CheckContext, expectedLimits, seenOf, whyMissing } from './context.js';
import { isRelease } from './release.js';

/** Of a run that follows a held rotor too soon; written into the capture's notes, so that it stays with the record. */
export const TESTED_WARM = 'Tested warm:';

const HELD: CheckKind = {
  id: 'held-current',
  of: 'motor',
  rank: 180,
  usual: 'held current',
  above: { resistance: 'down' },
  below: { resistance: 'up' },
};
const PROTECTOR: CheckKind = { id: 'protector', of: 'motor', rank: 180 };
const WARM: CheckKind = { id: 'tested-warm', of: 'motor', rank: 180 };
export const isProtector = ({ kind }: Check): boolean => kind.id === PROTECTOR.id;

export function heldRotorChecks(context: CheckContext): Check[] {
  const held = holdsRotor(context.unit.plan);
  return [
    ...(held ? context.expectation.throws.flatMap(({ of }) => heldCurrent(context, of)) : []),
    ...(held ? protectorCheck(context) : protectorUntried(context)),
    ...warmMark(context.whole),
  ];
}

/** Of a run that holds the rotor: without what only a running motor shows. */
export function withoutTurning(context: CheckContext, checks: readonly Check[]): Check[] {
  if (!holdsRotor(context.unit.plan)) return [...checks];
  // Where the protector ended the current there was none left to release.
  const ended = heldThrows(context.whole).map(({ opensAfterS }) => opensAfterS !== undefined);
  const throws = context.expectation.throws.filter((_, i) => ended[i]).map(({ of }) => of.id);
  const isGone = (check: Check): boolean => isRelease(check) && throws.includes(check.throw?.id ?? '');
  return checks.filter((check) => !check.kind.isOfTurning && !isGone(check));
}

function heldCurrent(context: CheckContext, of: RunStretch): Check[] {
  const limits = expectedLimits(context, 'heldRotorCurrentA', of);
  if (!limits) return [];
  const turned = seenOf(context, 'settleS', of) !== undefined;
  return [
    numberCheck(HELD, {
      throw: of,
      subject: `${atStart(of)}, rotor held: the current stands at`,
      named: `${atStart(of)}: held-rotor current`,
      quantity: context.supplyHolds ? seenOf(context, 'heldRotorCurrentA', of) : undefined,
      lower: Math.max(0, limits.lower),
      upper: limits.upper,
      origin: limits.origin,
      goodUnits: limits.goodUnits,
      missing: turned ? 'not tested, the rotor turned' : whyMissing(context, of),
      hint: 'Too little: brushes, winding or wiring; too much: turns in the armature are shorted.',
    }),
  ];
}

/** A run that holds no rotor says nothing of a protector, whatever else it passes. */
function protectorUntried({ unit: { motor, load } }: CheckContext): Check[] {
  if (motor.protector === undefined || load !== undefined) return [];
  const sentence = 'Protector: not tested, the rotor was not held.';
  return [checkOf(PROTECTOR, { required: false, origin: motor.origin, outcome: 'not-tested', sentence })];
}

/** Published of window and seat motors: from cold at stall under 1 A within 4 to 90 s. */
const PUBLISHED = { opensFromS: 4, opensToS: 90 };

/**
 * A protector that never saw a held rotor long enough is not tested and never passed; it is asked for only where the
 * motor's profile does.
 */
function protectorCheck(context: CheckContext): Check[] {
  const { protector, origin } = context.unit.motor;
  const base = {
    required: protector !== undefined,
    origin: protector ? origin : ('published' as const),
  };
  const { opensFromS, opensToS } = protector ?? PUBLISHED;
  const throws = heldThrows(context.whole);
  const at = throws.findIndex(({ opensAfterS }) => opensAfterS !== undefined);
  const opened = throws[at]?.opensAfterS;
  if (opened !== undefined) {
    // The holds before it have warmed it already.
    const beforeS = throws.slice(0, at).reduce((sum, { heldS }) => sum + heldS, 0);
    return [
      numberCheck(PROTECTOR, {
        ...base,
        subject: `Held${beforeS > 0 ? `, after ${amount(beforeS, 's', 1)} held before` : ''}, the protector opens after`,
        quantity: quantityOf(opened, 's', [lineOf(1 / context.whole.sampleRateHz)]),
        lower: Math.max(0, opensFromS - beforeS),
        upper: opensToS,
        missing: '',
        hint: 'Too soon: it opens in use; too late: it no longer protects. Both are a new motor.',
      }),
    ];
  }
  const longestS = Math.max(0, ...throws.map(({ heldS }) => heldS));
  const held = context.expectation.throws.some(
    ({ of }) => seenOf(context, 'heldRotorCurrentA', of) !== undefined,
  );
  if (held && longestS > opensToS) {
    const sentence = `Held for ${amount(longestS, 's', 0)}, the protector does not open (expected within ${opensToS} s).`;
    return [checkOf(PROTECTOR, { ...base, outcome: 'fail', sentence })];
  }
  const hotS = throws.find(({ hotAfterS }) => hotAfterS !== undefined)?.hotAfterS;
  if (held && context.unit.plan.longHold) {
    const sentence =
      hotS === undefined
        ? `Protector: not opened within ${amount(longestS, 's', 0)}, the longest that the board holds; some take up to ${opensToS} s.`
        : `Protector: not opened in ${amount(hotS, 's', 0)}, when the winding's own resistance had risen by 30 %: the hold was ended there.`;
    return [checkOf(PROTECTOR, { ...base, outcome: 'not-tested', sentence })];
  }
  const why = held
    ? `held for ${amount(longestS, 's', 1)}, and protectors open in ${opensFromS} to ${opensToS} s`
    : 'the rotor was not held';
  return [checkOf(PROTECTOR, { ...base, outcome: 'not-tested', sentence: `Protector: not tested, ${why}.` })];
}

function warmMark({ notes }: Capture): Check[] {
  const note = notes.find((one) => one.startsWith(TESTED_WARM));
  if (note === undefined) return [];
  const sentence = `${note} A warm motor draws less at the start and more when it runs: repeat it cold.`;
  return [checkOf(WARM, { required: false, outcome: 'not-tested', origin: 'published', sentence })];
}
