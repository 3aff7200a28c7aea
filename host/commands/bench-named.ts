// Which bench a call names: a rig on a port, or the virtual bench with a case on a unit.

import type { ResolvedUnit, RigProfile, VirtualCase } from '../profile/index.js';
import { UsageError } from './command.js';

export const PROFILE_OPTION = {
  type: 'string',
  value: 'P',
  words: 'profile of the unit: an id, or the path of a YAML file',
  offer: 'unit',
} as const;

/** Of verbs that reckon with another circuit than the unit's. */
export const OTHER_CIRCUIT_OPTION = {
  type: 'string',
  value: 'ID',
  words: "on another circuit than the profile's",
  offer: 'circuit',
} as const;

export const PORT_OPTION = {
  type: 'string',
  value: 'PATH',
  words: 'the rig on this serial port (throwbench ports lists them)',
  offer: 'port',
} as const;

export const RIG_OPTION = {
  type: 'string',
  value: 'ID',
  words: 'refuse any other rig on that port',
} as const;

export const SHORT_OPTION = {
  type: 'boolean',
  words: 'two seconds of throws and rests in place of the usual plan',
} as const;

export const ASK_WAY_OPTION = {
  type: 'boolean',
  words: 'ask after a run which way the output went when it was thrown forward, and keep the answer',
} as const;

/** Of a sitting without its screen. */
export const LINES_OPTIONS = {
  json: { type: 'boolean', default: false, words: 'one JSON object a line instead of the screen' },
  plain: { type: 'boolean', default: false, words: 'plain lines instead of the screen' },
} as const;

export const JSON_OPTION = { type: 'boolean', default: false, words: 'for programs' } as const;

/** Of every verb that may be at either bench. */
export const BENCH_OPTIONS = {
  profile: PROFILE_OPTION,
  port: PORT_OPTION,
  virtual: {
    type: 'string',
    value: 'CASE',
    words: 'the virtual bench, with this case on it: an id under profiles/demo/cases, or a YAML file',
    offer: 'case',
  },
  rig: RIG_OPTION,
} as const;

/** Of a rig on a port whose unit was not named. */
export const DEFAULT_RIG_PROFILE = 'reference-rig';

export type BenchNamed = { port: string; profile: string | undefined } | { virtual: string; profile: string };

/** @throws UsageError unless one bench is named. */
export function benchNamed(
  values: {
    [option in 'port' | 'virtual' | 'profile']?: string | undefined;
  },
): BenchNamed {
  const { port, virtual, profile } = values;
  if (port && virtual) throw new UsageError('--port and --virtual exclude each other: name one bench');
  if (port) return { port, profile };
  if (!virtual) throw new UsageError('which bench? name it with --port PATH or --virtual CASE');
  if (!profile) throw new UsageError('--profile P is missing: which unit is the case on?');
  return { virtual, profile };
}

export interface BenchLoaded {
  rigProfile: RigProfile;
  port?: string;
  unit?: ResolvedUnit;
  virtualCase?: VirtualCase;
}

/** @throws InputError for a profile or case that cannot be read. */
export async function loadBench(named: BenchNamed): Promise<BenchLoaded> {
  const { loadRig, loadUnit } = await import('../profile/index.js');
  const unit = named.profile === undefined ? undefined : loadUnit(named.profile);
  const rigProfile = unit?.rig ?? loadRig(DEFAULT_RIG_PROFILE);
  if ('port' in named) return { rigProfile, port: named.port };
  if (unit === undefined) throw new UsageError('--profile P is missing: which unit is the case on?');
  const { caseOn } = await import('./case-on.js');
  return { rigProfile, virtualCase: caseOn(unit, named.virtual), unit };
}
