// What a failed protector means: no reading of the run but its own check shows it, so no simulated cause is asked.

import { isProtector } from './checks/held-rotor.js';
import type { Check, Finding } from './verdict.js';

/** What is left to a hold that was none, or a rig that misread. Choice of this program, no source. */
const LIKELIHOOD = 0.95;

/** The protector alone where nothing else failed; `others` as they are for any other run. */
export function withProtector(checks: readonly Check[], motorId: string, others: () => Finding[]): Finding[] {
  const [check, ...more] = checks.filter(
    ({ required, outcome }) => required && (outcome === 'fail' || outcome === 'conditional-fail'),
  );
  if (!check || !isProtector(check) || more.length > 0) return others();
  const isLate = check.value === undefined || check.value > (check.upper ?? 0);
  return [
    {
      id: `${motorId}-protector`,
      likelihood: LIKELIHOOD,
      sentence: isLate
        ? "The motor's protector does not open in time: welded, bridged, or not fitted."
        : "The motor's protector opens too soon: aged, or one for a smaller motor.",
      nextProbe:
        'Let the motor cool for an hour and hold it once more, cold; look whether a protector is fitted.',
    },
  ];
}
