// When contacts really open and close, worked out without the solver: a switch from its travel, a relay from the
// closed form of its coil current (R-L rise, decay through core loss and suppression).

import { RELAY, SUPPRESSION_OHM, TRIGGER_OHM } from './circuits.js';
import type { ContactTimes } from './deck.js';

type Times = [number, boolean][];

/** Contact times of `switchCircuit` for [time, position] throws. */
export function switchTimes(throws: readonly (readonly [number, string])[]): ContactTimes {
  const wiring: Record<string, string> = {
    'sw.a.feed': 'forward',
    'sw.a.ground': 'reverse',
    'sw.b.ground': 'forward',
    'sw.b.feed': 'reverse',
  };
  return Object.fromEntries(
    Object.entries(wiring).map(([id, position]) => [
      id,
      throws.flatMap(
        ([atS, to]): Times => [
          [atS, false],
          [atS + 0.003, to === position],
        ],
      ),
    ]),
  );
}

/** Coil current from rest reaches pull-in. `feedV` is the voltage over coil and trigger with its source resistance. */
export function pullInDelayS(feedV: number): number {
  const { coilResistanceOhm: r, coilInductanceH: l, pullInCurrentA } = RELAY;
  // The coil sees source, trigger and the suppression beside it as a Thevenin source; core loss is parallel to L.
  const sourceOhm = 0.033 + TRIGGER_OHM;
  const share = SUPPRESSION_OHM / (SUPPRESSION_OHM + sourceOhm);
  const seriesOhm = r + sourceOhm * share;
  const coreOhm = 100 * r;
  const rate = (seriesOhm * coreOhm) / (seriesOhm + coreOhm) / l;
  return -Math.log(1 - (pullInCurrentA * seriesOhm) / (feedV * share)) / rate;
}

/** Coil current from its steady value falls to drop-out with the trigger open. */
export function dropOutDelayS(steadyA: number): number {
  const { coilResistanceOhm: r, coilInductanceH: l, dropOutCurrentA } = RELAY;
  const loopOhm = r + SUPPRESSION_OHM;
  const rate = (loopOhm * 100 * r) / (loopOhm + 100 * r) / l;
  return Math.log(steadyA / dropOutCurrentA) / rate;
}

/** Times of one relay's contacts for trigger [on, off] spans. */
export function relayTimes(
  id: string,
  spans: readonly (readonly [number, number])[],
  feedV: number,
  steadyA: number,
): ContactTimes {
  const make: Times = [];
  const rest: Times = [];
  for (const [onS, offS] of spans) {
    const movesS = onS + pullInDelayS(feedV) + RELAY.operateTravelS;
    const returnsS = offS + dropOutDelayS(steadyA) + RELAY.releaseTravelS;
    rest.push([movesS, false], [returnsS + RELAY.transferS, true]);
    make.push([movesS + RELAY.transferS, true], [returnsS, false]);
  }
  return { [`${id}.87`]: make, [`${id}.87a`]: rest };
}
