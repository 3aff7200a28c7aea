// A fault that sets in during a run that is read from its current alone: the good unit's run up to the middle of a throw, the
// faulty one's behind it. What a stretch is called then goes by what flows, so that the runs are joined and not the readings.

import { type Capture, mapChannels } from '../capture/index.js';
import type { FaultKind } from '../circuit/index.js';
import { isThrow, StretchCount } from '../measure/index.js';
import { LEAD_IN_S, type ResolvedUnit } from '../profile/index.js';
import type { Hypothesis } from './hypotheses.js';
import { type Pattern, patternIn } from './pattern.js';

/** What comes during a run; what is wired wrongly, worn or of the wrong kind was so before it. */
const SETS_IN: readonly FaultKind[] = ['open', 'welded', 'shorted', 'stuck'];

export const maySetIn = ({ kind, owner }: Hypothesis): boolean =>
  SETS_IN.includes(kind) && owner === 'harness';

/** One pattern for each throw of the plan in which it may have set in. */
export function settingInRuns(unit: ResolvedUnit, good: Capture, own: Capture): Pattern[] {
  const count = new StretchCount();
  let atS = LEAD_IN_S;
  return unit.plan.steps.flatMap(({ position, feed, durationS }) => {
    const middleS = atS + durationS / 2;
    atS += durationS;
    const since = count.next(feed === 'limited' ? 'limited' : 'full', position);
    if (!isThrow(since)) return [];
    return [{ ...patternIn(unit, joined(good, own, middleS)), since }];
  });
}

/** Both on one grid. */
function joined(good: Capture, own: Capture, atS: number): Capture {
  const channels = mapChannels(good.channels, (values, channel) =>
    values.map((value, k) => ((good.timeS[k] ?? 0) < atS ? value : (own.channels[channel]?.[k] ?? value))),
  );
  return { ...good, channels };
}
