// What a person says of a foreign file's columns: which holds what, in which unit or by which factor.

import { CHANNEL, CHANNELS, type Channel } from './channels.js';
import { ACROSS_COLUMN, ACROSS_ROLE } from './columns.js';
import { type Unit, unitOf } from './units.js';

/** Words on the command line for the channels. */
export const ROLES: Readonly<Record<string, Channel>> = {
  motor: 'motorCurrentA',
  feed: 'feedCurrentA',
  coil: 'coilCurrentA',
  'lead-a': 'leadAVoltageV',
  'lead-b': 'leadBVoltageV',
  supply: 'supplyVoltageV',
};

export const roleOf = (channel: Channel): string =>
  Object.entries(ROLES).find(([, named]) => named === channel)?.[0] ?? CHANNEL[channel].column;

export interface Mapping {
  channel: Channel;
  /** Read across both leads: the channel is then the one that its positive part goes to. */
  across?: 'motor';
  /** Heading, heading without its unit, or number of the column from 1. */
  column: string;
  unit?: Unit;
  /** Amperes or volts a unit of the file. */
  factor?: number;
}

/** `motor=CH1`, `motor=CH1:mA`, `motor=CH1:10`; a sentence of what is wrong where it is none of these. */
export function mappingOf(text: string): Mapping | string {
  const found = /^([^=]+)=(.+)$/.exec(text.trim());
  const usage = `should be ROLE=COLUMN, such as motor=CH1 or motor=CH1:mA; roles are ${[...Object.keys(ROLES), ACROSS_ROLE].join(', ')}`;
  if (!found) return usage;
  const role = (found[1] ?? '').trim().toLowerCase();
  const told = (found[2] ?? '').trim();
  const isAcross = role === ACROSS_ROLE || role === ACROSS_COLUMN.toLowerCase();
  const channel = isAcross
    ? 'leadAVoltageV'
    : (ROLES[role] ?? CHANNELS.find((name) => CHANNEL[name].column.toLowerCase() === role));
  if (channel === undefined) return usage;
  const base = { channel, ...(isAcross ? { across: 'motor' as const } : {}) };
  const colon = told.lastIndexOf(':');
  const column = colon > 0 ? told.slice(0, colon).trim() : told;
  const end = colon > 0 ? told.slice(colon + 1).trim() : '';
  if (end === '') return { ...base, column: told };
  const factor = Number(end);
  if (Number.isFinite(factor))
    return factor === 0 ? 'has the factor 0, which leaves nothing' : { ...base, column, factor };
  const unit = unitOf(end);
  if (unit === undefined) return { ...base, column: told };
  const wanted = CHANNEL[channel].unit === 'A' ? 'current' : 'voltage';
  if (unit.kind !== wanted)
    return `gives ${unit.name} to a ${wanted}; give a factor instead, such as ${column}:10`;
  return { ...base, column, unit };
}
