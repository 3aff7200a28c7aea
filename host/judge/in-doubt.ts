// While a known-load check of the rig stands failed, or the capture itself shows that a channel was misread, nothing
// passes, and a unit fails only for what does not rest on that channel.

import type { Channel } from '../capture/index.js';
import type { CaptureDoubt } from '../measure/index.js';
import type { RigProfile } from '../profile/index.js';
import { amount } from '../tell/index.js';
import { checkOf, isFailed, untested } from './check.js';
import { isRestCurrent } from './checks/rest.js';
import type { Check, CheckKind } from './verdict.js';

const IN_DOUBT: CheckKind = { id: 'rig-in-doubt', of: 'rig', rank: -20, isAlwaysTold: true };
export const CAPTURE_IN_DOUBT: CheckKind = { ...IN_DOUBT, id: 'capture-in-doubt' };

export interface Doubt {
  kind: CheckKind;
  channels: readonly Channel[];
  sentence: string;
  /** Not even whether anything flows can be read from them. */
  isWhole?: boolean;
}

export const rigDoubts = ({ doubted = [] }: Pick<RigProfile, 'doubted'>): Doubt[] =>
  doubted.map(({ channel, sentence }) => ({ kind: IN_DOUBT, channels: [channel], sentence }));

export const captureDoubts = (doubts: readonly CaptureDoubt[] = []): Doubt[] =>
  doubts.map(({ channels, sentence, isWhole = false }) => ({
    ...{ kind: CAPTURE_IN_DOUBT, channels, sentence, isWhole },
  }));

/** A clamp that nobody zeroed reads at rest what a circuit would draw; of so small a part of the highest current that is the likelier. Choice of this program, no source. */
const ZERO_PART = 0.15;

/**
 * A current at rest that fails, of one current channel whose instrument nobody stated. `highestA` is the highest that it
 * read.
 */
export function zeroDoubts(checks: readonly Check[], highestA: number): Doubt[] {
  const rest = checks.find((check) => isRestCurrent(check) && isFailed(check));
  if (rest?.value === undefined || rest.value > ZERO_PART * highestA) return [];
  return [
    {
      kind: CAPTURE_IN_DOUBT,
      channels: ['motorCurrentA'],
      sentence: `With nothing thrown the current reads ${amount(rest.value, 'A', 2)}: the circuit draws it, or the zero of the clamp is off. Zero it and repeat, or say --zero-from-rest.`,
    },
  ];
}

/** `checks` with the doubts in front and what rests on them taken back; as they are where no channel is in doubt. */
export function forDoubt(checks: readonly Check[], doubts: readonly Doubt[]): Check[] {
  if (doubts.length === 0) return [...checks];
  const rests = ({ kind: { isGross, reads } }: Check): boolean =>
    doubts.some(
      ({ channels, isWhole }) =>
        (isGross !== true || isWhole === true) &&
        channels.some((channel) => reads?.includes(channel) ?? true),
    );
  return [
    ...doubts.map(({ kind, sentence }) => checkOf(kind, { outcome: 'not-tested', sentence })),
    ...checks.map((check) => (isFailed(check) && rests(check) ? untested(check) : check)),
  ];
}
