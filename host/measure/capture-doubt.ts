// What shows that a channel's readings are not what they seem: told in place of numbers, and nothing is judged by them.

import type { Channel } from '../capture/index.js';

export interface CaptureDoubt {
  kind: 'ac-coupled' | 'zero-moved' | 'chopped' | 'mains' | 'misread';
  channels: readonly Channel[];
  sentence: string;
  /** Not even whether anything flows can be read from them; a current that hums or is off its zero still shows that. */
  isWhole?: true;
  /** Nobody can tell which of the channels to believe: no cause is weighed by any. */
  mutesCauses?: true;
}

/** Whether every channel that speaks of the unit is in doubt: then no cause can be weighed. */
export const blinds = (
  doubts: readonly Pick<CaptureDoubt, 'channels'>[],
  sampled: readonly Channel[],
): boolean =>
  doubts.length > 0 &&
  sampled
    .filter((channel) => channel !== 'supplyVoltageV')
    .every((channel) => doubts.some(({ channels }) => channels.includes(channel)));
