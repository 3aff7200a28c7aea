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

/** The verdict's reason in one sentence. */
export function reasonOf(verdict: Verdict, checks: readonly Check[]): string {
  const required = checks.filter((check) => check.required);
  if (verdict === 'pass') {
    const close = required.filter(({ outcome }) => outcome === 'conditional-pass').length;
    return `All ${required.length} checks are within limits${close ? `, ${close} of them closely` : ''}.`;
  }
  const wanted = verdict === 'fail' ? ['fail'] : ['not-tested', 'conditional-fail', 'conditional-pass'];
  for (const outcome of wanted) {
    const [first, ...others] = required
      .filter((check) => check.outcome === outcome)
      .sort((a, b) => a.kind.rank - b.kind.rank);
    if (first) return `${first.sentence}${others.length > 0 ? ` And ${others.length} more.` : ''}`;
  }
  return 'Nothing was tested.';
}
