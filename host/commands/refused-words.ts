// Words of the command line that cannot be meant.

import { UsageError } from './command.js';
import { LONGEST_TAG } from './longest-tag.js';

/** @throws UsageError */
export function refuseTag(tag: string): void {
  if (tag.trim() === '') throw new UsageError('--unit is blank: name the tag on the unit, such as V-0107');
  if (tag.length > LONGEST_TAG)
    throw new UsageError(`--unit may have ${LONGEST_TAG} characters, not ${tag.length}`);
}

/** @throws UsageError for text that would steer the terminals and pages on which it is told later. */
export async function refuseSteering(options: Readonly<Record<string, string | undefined>>): Promise<void> {
  const { steeringIn } = await import('../input/index.js');
  for (const [option, text = ''] of Object.entries(options)) {
    const steering = steeringIn(text);
    if (steering !== undefined)
      throw new UsageError(`--${option} holds ${steering}, which is no letter; take that character out`);
  }
}
