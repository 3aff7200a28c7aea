// Which bench a call names: a rig on a port, or the virtual bench with a case on a unit.

import type { ResolvedUnit, RigProfile, VirtualCase } from '../profile/index.js';
import { UsageError } from './command.js';

const TEXT = { type: 'string' } as const;

/** Of every verb that may be at either bench. */
export const BENCH_OPTIONS = { port: TEXT, virtual: TEXT, profile: TEXT, rig: TEXT } as const;

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
