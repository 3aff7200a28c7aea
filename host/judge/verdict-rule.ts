// From checks to one verdict. Fail if any required check fails, pass only if all required pass, else cannot tell.

import type { Check, Verdict } from './verdict.js';

/** Conditional passes count as the profile's rule says; a conditional fail or an untested check never passes. */
export function verdictOf(checks: readonly Check[], conditionalPassCounts: boolean): Verdict {
  const required = checks.filter((check) => check.required);
  if (required.some(({ outcome }) => outcome === 'fail')) return 'fail';
  const passes = required.every(
    ({ outcome }) => outcome === 'pass' || (outcome === 'conditional-pass' && conditionalPassCounts),
  );
  return required.length > 0 && passes ? 'pass' : 'cannot-tell';
}

/** Which failing check tells most: a short before lead states, those before currents, drops last. */
const WEIGHT = [
  'limited-feed-short',
  'supply',
  'plan',
  'samples',
  'over-current',
  'rest-current',
  'rest-',
  'polarity',
  'return-lead',
  'dropouts',
  'coil',
  'ground-drop',
  'feed-drop',
  'release',
  'running',
  'inrush',
  'symmetry',
  'motor-',
];

const weightOf = (check: Check): number => {
  const at = WEIGHT.findIndex((prefix) => check.id.startsWith(prefix));
  return at < 0 ? WEIGHT.length : at;
};

/** The verdict's reason in one sentence. */
export function reasonOf(verdict: Verdict, checks: readonly Check[]): string {
  const required = checks.filter((check) => check.required);
  if (verdict === 'pass') {
    const close = required.filter(({ outcome }) => outcome === 'conditional-pass').length;
    return `All ${required.length} checks are within limits${close ? `, ${close} of them closely` : ''}.`;
  }
  const wanted = verdict === 'fail' ? ['fail'] : ['not-tested', 'conditional-fail', 'conditional-pass'];
  for (const outcome of wanted) {
    const found = required
      .filter((check) => check.outcome === outcome)
      .sort((a, b) => weightOf(a) - weightOf(b));
    const first = found[0];
    if (!first) continue;
    const others = found.length - 1;
    return `${first.sentence}${others > 0 ? ` And ${others} more.` : ''}`;
  }
  return 'Nothing was tested.';
}
