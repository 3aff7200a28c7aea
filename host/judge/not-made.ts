// What is asked of a throw that the run does not hold is told in one line, and not check by check; and where nothing points
// to a fault, the next thing to do is to bring what is missing.

import { CHANNEL } from '../capture/index.js';
import { HEALTHY } from '../diagnose/index.js';
import { isThrow, type MeasureResult, stretchWords } from '../measure/index.js';
import { listed } from '../tell/index.js';
import type { CheckContext } from './checks/context.js';
import { channelIsNeeded } from './checks/run.js';
import { isStyle } from './checks/style.js';
import type { Check, Finding } from './verdict.js';

const ANOTHER_CIRCUIT = {
  sentence: 'It may be wired as another circuit than the profile says, with nothing wrong in it.',
  nextProbe:
    'Look how it is wired, and judge it by the circuit that it is: --circuit auto tells which the run reads like.',
};

/** Checks of a throw that was never seen, each with the words for it. */
export function markNotMade(checks: readonly Check[], { segments }: MeasureResult): Check[] {
  const wayUntold: Pick<Check, 'wayUntold'> = segments.some((segment) => segment.of.isWayUntold)
    ? { wayUntold: true }
    : {};
  return checks.map((check) => {
    const { throw: of, outcome } = check;
    const isMissing =
      of !== undefined &&
      isThrow(of) &&
      outcome === 'not-tested' &&
      !segments.some((segment) => segment.of.id === of.id);
    return isMissing ? { ...check, notMade: stretchWords(of), ...wayUntold } : check;
  });
}

/** Findings as they are, but that nothing wrong asks for what would tell more: the circuit it really is, throws, channels. */
export function askingForMore(
  context: CheckContext,
  checks: readonly Check[],
  findings: readonly Finding[],
): Finding[] {
  const { seen, expectation } = context;
  const untold = seen.segments.filter(({ of }) => of.isWayUntold).length;
  const gone =
    untold > 0
      ? untold < expectation.throws.length
        ? ['the other way']
        : []
      : expectation.throws
          .filter(({ of }) => !seen.segments.some((segment) => segment.of.id === of.id))
          .map(({ of }) => stretchWords(of));
  const absent = seen.notSampled
    .filter((channel) => channelIsNeeded(context, channel))
    .map((channel) => CHANNEL[channel].words);
  const wanted = [
    ...(gone.length > 0 ? [`${listed(gone)} thrown`] : []),
    ...(absent.length > 0 ? [`${listed(absent)} sampled`] : []),
  ];
  const told: Partial<Finding> = checks.some(isStyle)
    ? ANOTHER_CIRCUIT
    : wanted.length > 0
      ? { nextProbe: `Repeat it with ${listed(wanted)}: that may show more.` }
      : {};
  return findings.map((finding) => (finding.id === HEALTHY ? { ...finding, ...told } : finding));
}
