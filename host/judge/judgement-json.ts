// The JSON of `judge --json`. Other programs rely on it: add only.

import type { Judgement } from './verdict.js';

/** Names carry units; what was not measured is absent, never zero. */
export function judgementJson(judgement: Judgement): Record<string, unknown> {
  return {
    verdict: judgement.verdict,
    checks: judgement.checks.map(
      ({ id, sentence, value, unit, expandedUncertainty, lower, upper, outcome, required, origin }) => ({
        id,
        sentence,
        ...present({ value, unit, expandedUncertainty, lower, upper }),
        outcome,
        required,
        origin,
      }),
    ),
    findings: judgement.findings.map(({ id, likelihood, sentence, nextProbe, inseparable, proof }) => ({
      id,
      likelihood,
      sentence,
      nextProbe,
      ...(inseparable === undefined ? {} : { inseparable }),
      ...(proof === undefined ? {} : { proof }),
    })),
    measured: Object.fromEntries(
      Object.entries(judgement.measured).map(([name, { value, unit, expandedUncertainty }]) => [
        name,
        { value, unit, expandedUncertainty },
      ]),
    ),
    sentence: judgement.sentence,
  };
}

function present(fields: Record<string, number | string | undefined>): Record<string, number | string> {
  return Object.fromEntries(
    Object.entries(fields).filter((entry): entry is [string, number | string] => entry[1] !== undefined),
  );
}
