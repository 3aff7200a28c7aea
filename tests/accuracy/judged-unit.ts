// One random unit judged, and how right that was.

import type { Capture } from '../../host/capture/index.js';
import { type DiagnosisLibrary, diagnosisLibrary, faultsNotShown } from '../../host/diagnose/index.js';
import {
  type Expectation,
  expectation,
  type Judgement,
  judge,
  type Verdict,
} from '../../host/judge/index.js';
import type { ResolvedUnit } from '../../host/profile/index.js';
import type { RandomUnit } from './random-unit.js';

export interface JudgedUnit {
  profile: string;
  truth: string;
  /** Whether the plan can show this fault at all, by its ideal readings. */
  isShown: boolean;
  verdict: Verdict;
  /** Place of the finding that names the truth, or what is inseparable from it; -1 when none does. */
  rank: number;
  findings: { likelihood: number; isRight: boolean }[];
  /** Whether the first finding accuses: it names neither nothing wrong, another motor nor nothing on the list. */
  accuses: boolean;
  /** What comes first, by its id; undefined where nothing was found. */
  first?: string;
  /** For whoever looks into it. */
  detail: string;
}

const ACCUSES_NOBODY: readonly string[] = ['healthy', 'another-motor', 'not-in-list'];

export interface Desk {
  expected: Expectation;
  library: DiagnosisLibrary;
  notShown: ReadonlySet<string>;
}

export function deskFor(unit: ResolvedUnit): Desk {
  const library = diagnosisLibrary(unit);
  return { expected: expectation(unit), library, notShown: new Set(faultsNotShown(library, {})) };
}

export function judged(
  one: RandomUnit,
  { expected, library, notShown }: Desk,
  run: { capture: Capture; stop: string | undefined },
): JudgedUnit {
  return judgedAs(
    one,
    judge({ unit: one.unit, ...run, expectation: expected, library: () => library }),
    notShown,
  );
}

export function judgedAs(one: RandomUnit, judgement: Judgement, notShown: ReadonlySet<string>): JudgedUnit {
  const findings = judgement.findings.map(({ id, inseparable, likelihood }) => ({
    likelihood,
    isRight: id === one.truth || (inseparable ?? []).includes(one.truth),
  }));
  const { supply, temperatureC, motorScale } = one.virtualCase;
  const complaints = judgement.checks
    .filter(({ required, outcome }) => required && !outcome.endsWith('pass'))
    .map(
      ({ id, outcome, value }) => `${outcome} ${id}${value === undefined ? '' : ` ${value.toPrecision(3)}`}`,
    );
  return {
    profile: one.unit.unit.id,
    truth: one.truth,
    isShown: !notShown.has(one.truth),
    verdict: judgement.verdict,
    rank: findings.findIndex(({ isRight }) => isRight),
    findings,
    ...(judgement.findings[0] === undefined ? {} : { first: judgement.findings[0].id }),
    accuses: judgement.verdict !== 'pass' && !ACCUSES_NOBODY.includes(judgement.findings[0]?.id ?? 'healthy'),
    detail: [
      `seed ${one.seed}, ${supply.voltageV?.toFixed(1)} V, ${temperatureC.toFixed(0)} C`,
      ...Object.entries(motorScale).map(([key, factor]) => `${key} x ${factor.toFixed(2)}`),
      judgement.findings.map(({ id, likelihood }) => `${id} ${(100 * likelihood).toFixed(0)} %`).join(', '),
      complaints.slice(0, 4).join('; '),
    ]
      .filter(Boolean)
      .join(' | '),
  };
}
