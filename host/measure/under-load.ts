// What one throw tells beside its levels: held rotor, flat top of a limited supply, source resistance, energy.

import type { Budgets } from './budget.js';
import { energyOf } from './energy.js';
import { flatTopOf } from './flat-top.js';
import { heldRotorOf } from './held-rotor.js';
import type { Inrush } from './inrush.js';
import type { Measured, Quantity } from './quantity.js';
import { sourceResistance } from './source.js';
import type { Trace } from './trace.js';

export interface LoadedThrow {
  name: string;
  /** Motor current where it was sampled, else feed current; its sign taken out. */
  current: Float64Array;
  channel: 'motorCurrentA' | 'feedCurrentA';
  /** Sample indices: contact, end of the running levels, end of the throw. */
  contact: number;
  levelsTo: number;
  to: number;
  supplyV: number;
  inrush: Inrush | undefined;
  brief: boolean;
}

export function underLoad(trace: Trace, seen: LoadedThrow, budgets: Budgets): Measured {
  const { name, current, channel, contact, levelsTo, to, inrush } = seen;
  const measured: Measured = {};
  const put = (key: string, quantity: Quantity | undefined): void => {
    if (quantity) measured[`${name}${key}`] = quantity;
  };
  if (inrush) {
    put('SourceResistanceOhm', sourceResistance(trace, contact, inrush.at, levelsTo, budgets));
    if (!seen.brief) {
      const held = heldRotorOf(trace, current, channel, inrush.at, levelsTo, inrush.peakA, budgets);
      put('HeldRotorCurrentA', held?.currentA);
      put('HeldRotorFallPercent', held?.fallPercent);
    }
  }
  const flat = flatTopOf(trace, current, channel, contact, levelsTo, seen.supplyV, budgets);
  put('FlatTopA', flat?.currentA);
  put('FlatTopS', flat?.lastedS);
  put(
    'EnergyJ',
    energyOf(
      trace,
      { plus: 'leadAVoltageV', minus: 'leadBVoltageV', current: 'motorCurrentA' },
      contact,
      to,
      budgets,
    ),
  );
  put(
    'FeedEnergyJ',
    energyOf(trace, { plus: 'supplyVoltageV', current: 'feedCurrentA' }, contact, to, budgets),
  );
  return measured;
}
