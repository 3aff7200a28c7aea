// The tag of a unit as it is typed on the command line.

import { UsageError } from './command.js';

/** As long as a tag in a tray file may be. */
const LONGEST_TAG = 24;

/** @throws UsageError */
export function refuseTag(tag: string): void {
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
