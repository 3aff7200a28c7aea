// What one throw tells beside its levels: held rotor, flat top of a limited supply, source resistance, energy.

import { milli, significant } from '../tell/index.js';
import type { DriveCurrent } from './drive-current.js';
import { energyOf } from './energy.js';
import { flatTopOf } from './flat-top.js';
import { heldRotorOf } from './held-rotor.js';
import type { QuantityName } from './quantities.js';
import { atStart } from './run-stretch.js';
import { sourceResistance } from './source.js';
import type { Start } from './start.js';
import type { HeldThrow } from './throw.js';

/** What a top that nothing but the current shows leaves open: a supply's limit, or the end of the instrument's range. */
export const OPEN_BY_TOP: readonly QuantityName[] = ['inrushTimeS', 'settleS', 'fallTo37S'];

/** Puts what it finds. `supplyV` while the throw is held. @returns whether the start is only known to be at least so high */
export function underLoad(
  { trace, budgets, put, of, notes, moves, segment, stretch: { to }, levelsTo }: HeldThrow,
  current: DriveCurrent,
  contact: number,
  supplyV: number,
  inrush: Start | undefined,
): boolean {
  if (inrush) {
    if (moves.length === 0)
      put(
        'sourceResistanceOhm',
        sourceResistance(trace, { contact, peak: inrush.at, to: levelsTo }, budgets),
      );
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
  if (!flat || !inrush || trace.motorVoltageV || trace.channels.supplyVoltageV) return false;
  put('inrushPeakA', { ...inrush.peak, value: flat.currentA.value, atLeast: true });
  notes.push(
    `${atStart(of)}: the current stands at ${significant(flat.currentA.value, 3, 'A')} for ${milli(flat.lastedS.value, 's')}: the limit of the supply, or the end of the instrument's range. The start is at least that; sample the supply too to tell which.`,
  );
  return true;
}
