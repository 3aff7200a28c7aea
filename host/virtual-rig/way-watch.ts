// What somebody beside the bench would see: how far the motor really went while forward was thrown, and whether that is
// the way in which a good unit's output goes. Nothing of it reaches the rig.

import type { Position } from '../capture/index.js';
import { type ResolvedUnit, showsItsWay, type Turned, type VirtualCase } from '../profile/index.js';

/** Less of the motor's own shaft is not seen behind a gearbox. Choice of this program, no source. */
const SEEN_RAD = Math.PI;

export interface WayWatch {
  /** Told before the position changes. */
  thrown(position: Position): void;
  turned(): Turned;
}

/** @param readerOf reads the motor's angle, rad; called only where there is a motor. */
export function wayWatch(
  unit: ResolvedUnit,
  { turnsOtherWay = false }: Pick<VirtualCase, 'turnsOtherWay'>,
  readerOf: () => () => number,
): WayWatch | undefined {
  if (!showsItsWay(unit)) return undefined;
  const angleRad = readerOf();
  const good = (unit.style.polarity.forward === 'positive' ? 1 : -1) * (turnsOtherWay ? -1 : 1);
  let position: Position = 'rest';
  let fromRad = angleRad();
  let forwardRad = 0;
  const thrown = (next: Position): void => {
    const atRad = angleRad();
    if (position === 'forward') forwardRad += atRad - fromRad;
    fromRad = atRad;
    position = next;
  };
  return {
    thrown,
    turned: () => {
      thrown(position);
      if (Math.abs(forwardRad) < SEEN_RAD) return 'still';
      return Math.sign(forwardRad) === good ? 'right-way' : 'other-way';
    },
  };
}
