// What one throw tells beside its levels: held rotor, flat top of a limited supply, source resistance, energy.

import type { DriveCurrent } from './drive-current.js';
import { energyOf } from './energy.js';
import { flatTopOf } from './flat-top.js';
import { heldRotorOf } from './held-rotor.js';
import type { Inrush } from './inrush.js';
import { sourceResistance } from './source.js';
import type { HeldThrow } from './throw.js';

/** Puts what it finds. `supplyV` while the throw is held. */
export function underLoad(
  { trace, budgets, put, segment, stretch: { to }, levelsTo }: HeldThrow,
  current: DriveCurrent,
  contact: number,
  supplyV: number,
  inrush: Inrush | undefined,
): void {
  if (inrush) {
    put('sourceResistanceOhm', sourceResistance(trace, { contact, peak: inrush.at, to: levelsTo }, budgets));
    const held = segment.brief ? undefined : heldRotorOf(current, inrush, levelsTo);
    put('heldRotorCurrentA', held?.currentA);
    put('heldRotorFallPercent', held?.fallPercent);
  }
  const flat = flatTopOf(
    trace,
    { current: current.values, channel: current.channel, contact, to: levelsTo, supplyV },
    budgets,
  );
  put('flatTopA', flat?.currentA);
  put('flatTopS', flat?.lastedS);
  const motor = { plus: 'leadAVoltageV', minus: 'leadBVoltageV', current: 'motorCurrentA' } as const;
  put('energyJ', energyOf(trace, motor, contact, to, budgets));
  const feed = { plus: 'supplyVoltageV', current: 'feedCurrentA' } as const;
  put('feedEnergyJ', energyOf(trace, feed, contact, to, budgets));
}
