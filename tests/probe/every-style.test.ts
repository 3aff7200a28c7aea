// Seeded faults of every style, probed to the end by a hand whose meter has its noise (1 % and 0.3 Ohm of leads; 0.5 %
// of volts): the fault is the one cause that is left, or in the group that nothing parts, in all but one of five hundred. A
// relay that buzzes on the edge of its pull-in reads as no circuit of the list does; then nothing of the list is named. Faults
// are drawn, no outside source.

import { afterAll, describe, expect, it } from 'vitest';
import { seededRandom } from '../../host/circuit/index.js';
import type { Probe } from '../../host/probe/index.js';
import { everyProfile } from '../accuracy/random-unit.js';
import { probedFromLeads, seededFault } from './true-bench.js';

const SEED = 20_261;
/** 20 in every test run; THROWBENCH_PROBED_UNITS=50 asks some five hundred and fifty in all, which takes minutes. */
const UNITS = Number(process.env.THROWBENCH_PROBED_UNITS ?? 20);
/** A person with a hand meter, and no rig. */
const byHand = ({ does }: Probe): boolean => does !== 'clip';

const told: string[] = [];
afterAll(() => console.log(told.join('\n')));

const profiles = everyProfile(['entry-step'], { limits: 'generic' });

const missedOfAll: string[] = [];

describe(`${UNITS} seeded faults of each style, seed ${SEED}`, () => {
  it('has a profile of every style with a motor', () => expect(profiles.length).toBeGreaterThan(8));

  it.each(profiles.map((unit, place) => [unit.style.title, unit, place] as const))(
    '%s: found, or in the group',
    (title, unit, place) => {
      const random = seededRandom(SEED + place);
      const counts: number[] = [];
      const missed: string[] = [];
      let unlisted = 0;
      let alone = 0;
      for (let n = 0; n < UNITS; n++) {
        const one = probedFromLeads(seededFault(unit, random, [12.6]), random, byHand);
        counts.push(one.count);
        if (one.end.kind === 'one') alone += 1;
        if (one.end.kind === 'unlisted') unlisted += 1;
        else if (!one.isRight)
          missed.push(
            `${one.truth}: ${one.end.kind} ${one.end.left[0]?.suspect.cause.id}; ${one.probing.taken.map(({ probe, reading }) => `${probe.id} ${JSON.stringify(reading)}`).join(', ')}`,
          );
      }
      counts.sort((a, b) => a - b);
      told.push(
        `${title}: median ${counts[Math.floor(UNITS / 2)]} probes, at most ${counts.at(-1)}; ${alone} of ${UNITS} left alone, ${unlisted} told as none of the list, ${missed.length} wrong`,
      );
      missedOfAll.push(...missed);
      expect(missed.length + unlisted, missed.join('\n')).toBeLessThanOrEqual(1);
    },
    240_000,
  );

  it('are named wrongly in at most one of five hundred', () => {
    expect(missedOfAll.length, missedOfAll.join('\n')).toBeLessThanOrEqual((UNITS * profiles.length) / 500);
  });
});
