// Whether the full feed may follow on the limited one: the same reading of the same samples that judging makes of the stored capture.

import type { Capture } from '../capture/index.js';
import {
  behindCoilLimiter,
  coilLimiterOf,
  coilShort,
  coilShortSentence,
  fedAtRest,
  fedSentence,
  feedPathOf,
  isThrow,
  type LimitedReading,
  limitedShort,
  type MeasureResult,
  measure,
  type RunStretch,
  readingOf,
  type Segment,
} from '../measure/index.js';
import { coilStage, type ResolvedUnit, type Toleranced } from '../profile/index.js';
import type { DriveOptions, KeptOff } from './drive-options.js';
import { misreadCurrent } from './limited-currents.js';
import type { RigFault } from './rig-fault.js';

/** The limited stretch of a run so far that shows a short; undefined when none does. Pure. */
export function findShort(unit: ResolvedUnit, soFar: Capture): LimitedReading | undefined {
  return limitedShort(seenIn(unit, soFar), feedPathOf(unit));
}

/** A current that the rig misreads; undefined where the limited throws show none. Pure. */
export const findMisreadCurrent = (unit: ResolvedUnit, soFar: Capture): RigFault | undefined =>
  misreadCurrent(unit, seenIn(unit, soFar));

/** What is driven or fed at rest although the style holds it off, or a shorted coil feed; undefined when neither is. Pure. */
export function findFed(unit: ResolvedUnit, soFar: Capture): KeptOff | undefined {
  const { nominalVoltageV } = unit.motor;
  const seen = seenIn(unit, soFar);
  const short = coilShort(seen);
  if (short) return { reason: 'coil-short', sentence: coilShortSentence(short) };
  const fed = fedAtRest(seen, unit.style.restState, nominalVoltageV);
  return fed && { reason: 'fed-at-rest', sentence: fedSentence(fed) };
}

/**
 * Why nothing can be said of the limited stretches, whose feed current or, at rest, motor current was lost: nobody knows then
 * what the full feed would meet. Undefined when they were read. Pure.
 */
export function findUnread(unit: ResolvedUnit, soFar: Capture): string | undefined {
  const { measured, segments } = seenIn(unit, soFar);
  const limited = segments.filter(({ of }) => of.feed === 'limited');
  const deciding = limited.slice(0, Math.max(1, limited.findLastIndex(({ of }) => isThrow(of)) + 1));
  const isRead = ({ of }: Segment): boolean =>
    readingOf(measured, 'feedCurrentA', of) !== undefined &&
    (isThrow(of) || readingOf(measured, 'motorCurrentA', of) !== undefined);
  if (deciding.length > 0 && deciding.every(isRead)) return undefined;
  return 'What flows through the limited feed could not be read; the full feed was kept off, and what follows was left out.';
}

/** A coil feed that is shorted behind its limiter; undefined when it is not, or was not read. Pure. */
export function findCoilShort(unit: ResolvedUnit, stage: Capture): KeptOff | undefined {
  const short = coilShort(seenIn(unit, stage), coilLimiterOf(unit));
  return short && { reason: 'coil-short', sentence: coilShortSentence(short) };
}

/** What a drive is to ask of the coils first; nothing where none hang on the rig. */
export const coilOptions = (
  unit: ResolvedUnit,
): Partial<Pick<DriveOptions, 'coilStage' | 'findCoilShort' | 'findCoilSwitch'>> => {
  const stage = coilStage(unit);
  return stage === undefined
    ? {}
    : {
        coilStage: stage.steps,
        findCoilShort: (seen) => findCoilShort(unit, seen),
        findCoilSwitch: (seen, soFar) => findCoilSwitch(unit, seen, soFar),
      };
};

/** The straight feed of the coils must drive this much more than the limited one did: 39 Ohm beside 60 to 300. */
const MORE_PART = 1.07;

/**
 * Whether the coils took more once their limiter was passed by: where not, the rig's own switch is stuck, one way or the other.
 * Undefined where nothing speaks against it, or no coil drew anything. Pure.
 */
export function findCoilSwitch(
  unit: ResolvedUnit,
  stage: Capture,
  soFar: Capture,
): 'bridged' | 'stuck-limited' | undefined {
  const limiter = coilLimiterOf(unit);
  if (limiter === undefined) return undefined;
  const [limited, straight] = [seenIn(unit, stage), seenIn(unit, soFar)];
  const stuck = limited.segments.flatMap(({ of }) => {
    const behind = isThrow(of) && of.feed === 'limited' ? behindCoilLimiter(limited, of, limiter) : undefined;
    const now = behind && readingOf(straight.measured, 'coilCurrentA', of);
    if (!behind || !now) return [];
    const times = now.value / behind.current.value;
    // Less than before is a coil that opened, or a wire: the unit's own.
    return times > 1 / MORE_PART ? [{ ohm: behind.ohm, isStuck: times < MORE_PART }] : [];
  });
  const [first] = stuck;
  if (first === undefined || !stuck.every(({ isStuck }) => isStuck)) return undefined;
  const coilOhm = nominalOf(unit.relay?.coilResistanceOhm);
  const bridgedOhm = first.ohm + limiter.limiterOhm;
  if (coilOhm === undefined) return 'bridged';
  return Math.abs(bridgedOhm - coilOhm) < Math.abs(first.ohm - coilOhm) ? 'bridged' : 'stuck-limited';
}

/** Below it the amplifier rests on its rail (RIG.md, section 5.3); a coil that pulls in takes more. */
const COIL_UNREAD_A = 0.02;
/** What stands at a lead that its relay feeds, through the limited feed into a still motor. */
const LEAD_FED_V = 0.4;

/**
 * Whether relays that the rig feeds close although the rig sees no coil current: their coils hang on another feed, or it is not
 * read. False where nothing closed, where something is fed at rest already, or no coil hangs on the rig. Pure.
 */
export function isCoilUnread(unit: ResolvedUnit, soFar: Capture): boolean {
  if (coilStage(unit) === undefined || unit.style.restState === 'high') return false;
  const { measured, segments } = seenIn(unit, soFar);
  const limited = segments.filter(({ of }) => of.feed === 'limited');
  const fedV = (of: RunStretch): number =>
    Math.max(
      ...(['leadAVoltageV', 'leadBVoltageV'] as const).map(
        (lead) => readingOf(measured, lead, of)?.value ?? 0,
      ),
    );
  if (limited.some(({ of }) => !isThrow(of) && fedV(of) > LEAD_FED_V)) return false;
  const closed = limited.filter(({ of }) => isThrow(of) && fedV(of) > LEAD_FED_V);
  const coilA = closed.map(({ of }) => readingOf(measured, 'coilCurrentA', of)?.value);
  return closed.length > 0 && coilA.every((valueA) => valueA !== undefined && valueA < COIL_UNREAD_A);
}

const nominalOf = (value: Toleranced | undefined): number | undefined =>
  typeof value === 'object' ? value.nominal : value;

/** What came of the limited feed, where the rig's own sense says that none did. */
export type FeedSeen =
  /** What hangs there at rest pulls the feed down: the sense has no say. */
  | 'loaded'
  /** It came: the sense is lost. */
  | 'came'
  | 'nothing';

/** By the leads and the feed current of the limited stretches. Pure. */
export function feedSeen(unit: ResolvedUnit, soFar: Capture): FeedSeen {
  const { measured, segments } = seenIn(unit, soFar);
  const limited = segments.filter(({ of }) => of.feed === 'limited');
  const level = (what: 'leadAVoltageV' | 'leadBVoltageV' | 'feedCurrentA', of: RunStretch): number =>
    readingOf(measured, what, of)?.value ?? 0;
  if (limited.some(({ of }) => !isThrow(of) && level('feedCurrentA', of) > FED_A)) return 'loaded';
  const came = limited.some(
    ({ of }) =>
      level('leadAVoltageV', of) > FED_V ||
      level('leadBVoltageV', of) > FED_V ||
      level('feedCurrentA', of) > FED_A,
  );
  return came ? 'came' : 'nothing';
}

/** More than an open lead or a channel's offset shows. */
const FED_V = 3;
const FED_A = 0.2;

/** Several questions are asked of one capture in a row. */
const measuredOf = new WeakMap<Capture, MeasureResult>();

function seenIn({ rig, motor: { nominalVoltageV } }: ResolvedUnit, soFar: Capture): MeasureResult {
  const known = measuredOf.get(soFar);
  if (known) return known;
  const result = measure(soFar, { rig, nominalVoltageV, ripple: false });
  measuredOf.set(soFar, result);
  return result;
}
