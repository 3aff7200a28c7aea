// A run that ended before its plan: the relay coils were asked through their limiter, and their feed is shorted. Judged and
// diagnosed from those throws; a sound relay on half its voltage may pull in or not, so its contacts tell nothing.

import type { Capture } from '../capture/index.js';
import { type DiagnosisLibrary, diagnose, diagnosisLibrary } from '../diagnose/index.js';
import {
  coilLimiterOf,
  isShortBehind,
  isThrow,
  type Measured,
  type MeasureResult,
  measure,
} from '../measure/index.js';
import { atCoilStage, type ResolvedUnit } from '../profile/index.js';
import { coilStageChecks } from './checks/limited.js';
import type { Case, JudgeRequest } from './judge.js';

/** Whether the capture is of that stage, of a unit that has one. */
export const isCoilStage = (unit: ResolvedUnit, { coilFeed }: Capture): boolean =>
  coilFeed === 'limited' && atCoilStage(unit) !== unit;

export function coilStageCase({ unit: whole, capture, stop }: JudgeRequest): Case {
  // A person is asked for no further throw of a coil feed that is shorted already.
  const made = (['forward', 'reverse'] as const).filter((way) => capture.position.includes(way));
  const unit = atCoilStage(whole, whole.plan.throwBy === 'operator' ? made : undefined);
  const { rig, motor } = unit;
  const seen = measure(capture, { rig, nominalVoltageV: motor.nominalVoltageV, ripple: false });
  return {
    checks: coilStageChecks(seen, unit),
    measured: seen.measured,
    findings() {
      const shorted = shortedIn(unit);
      const library = alike(diagnosisLibrary(unit), seen, shorted);
      const telling = tellingOf(new Set(shorted(seen)));
      const measured = telling(seen.measured);
      return diagnose({ library: withMeasured(library, telling), seen: { ...seen, measured }, stop });
    },
  };
}

type Seen = Pick<MeasureResult, 'measured' | 'segments'>;
type Shorted = (seen: Seen) => string[];

/** Ids of the stretches whose coil feed is shorted. */
const shortedIn = (unit: ResolvedUnit): Shorted => {
  const limiter = coilLimiterOf(unit);
  return (seen) =>
    seen.segments.flatMap(({ of }) => (limiter && isShortBehind(seen, of, limiter) ? [of.id] : []));
};

/** The causes that short the same stretches; all of them where none does. */
function alike(library: DiagnosisLibrary, seen: Seen, shorted: Shorted): DiagnosisLibrary {
  const wanted = shorted(seen).join();
  const entries = library.entries.filter(({ patterns }) =>
    patterns.some((pattern) => shorted(pattern).join() === wanted),
  );
  return entries.length === 0 ? library : { ...library, entries };
}

/** Of a throw whose coil is not shorted only what flows in the coil. */
const tellingOf =
  (shorted: ReadonlySet<string>) =>
  (measured: Measured): Measured =>
    Object.fromEntries(
      Object.entries(measured).filter(
        ([, { what, of }]) =>
          of === undefined || !isThrow(of) || shorted.has(of.id) || what === 'coilCurrentA',
      ),
    );

const withMeasured = (library: DiagnosisLibrary, of: (measured: Measured) => Measured): DiagnosisLibrary => ({
  ...library,
  entries: library.entries.map((entry) => ({
    ...entry,
    patterns: entry.patterns.map((pattern) => ({ ...pattern, measured: of(pattern.measured) })),
  })),
});
