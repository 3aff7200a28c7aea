// What verdicts on captures rest on, once for each way in which a run was witnessed: by a rig, with its positions told, or by
// nothing but what flowed.

import { type Preparation, prepareProfile } from '../bench/preparing/index.js';
import type { ResolvedUnit } from '../profile/index.js';

export interface WitnessedPreparations {
  /** @param witnessed as `asWitnessed` gave it */
  of(witnessed: ResolvedUnit): Preparation;
  close(): void;
}

export function witnessedPreparations(asked: { findings: boolean }): WitnessedPreparations {
  const prepared = new Map<ResolvedUnit['witness'], Preparation>();
  return {
    of: (witnessed) => {
      const known = prepared.get(witnessed.witness);
      if (known) return known;
      const made = prepareProfile(witnessed, asked);
      let expected: ReturnType<Preparation['expectation']> | undefined;
      const kept = {
        ...made,
        expectation: () => {
          expected ??= made.expectation();
          return expected;
        },
      };
      prepared.set(witnessed.witness, kept);
      return kept;
    },
    close: () => {
      for (const { close } of prepared.values()) close();
    },
  };
}
