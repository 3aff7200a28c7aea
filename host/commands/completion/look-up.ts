// What there is to name: profiles, faults of the style, cases that fit it, runs, tags, ports, settings.

import { faultsOfUnit } from '../../circuit/index.js';
import { listProfiles, loadCase, loadUnit } from '../../profile/index.js';
import { withStore } from '../stored-runs.js';
import type { Fitting, LookUp, SaidBefore } from './complete.js';

/** Enough to look through; older ones are typed. */
const NEWEST = 100;

/** Never throws: what cannot be read offers nothing, since a line half typed is no place for trouble. */
export const lookUp: LookUp = async (offer, said) => {
  try {
    return await found(offer, said);
  } catch {
    return [];
  }
};

async function found(offer: Parameters<LookUp>[0], said: SaidBefore): Promise<readonly Fitting[]> {
  switch (offer) {
    case 'unit':
    case 'motor':
    case 'circuit':
    case 'plan':
    case 'tray':
      return listProfiles(offer).map(({ id, title }) => ({ word: id, told: title }));
    case 'case':
      return casesFor(said);
    case 'fault':
      return typeof said.profile === 'string'
        ? faultsOfUnit(loadUnit(said.profile)).map(({ id, sentence }) => ({ word: id, told: sentence }))
        : [];
    case 'run':
      return (
        withStore((store) => [
          { word: 'last' },
          ...store
            .listRuns({ limit: NEWEST })
            .map(({ runId, tag, sentence }) => ({ word: runId, told: `${tag} ${sentence ?? ''}`.trim() })),
        ]) ?? []
      );
    case 'tag':
      return (
        withStore((store) =>
          [...new Set(store.listRuns({ limit: NEWEST }).map(({ tag }) => tag))].map((word) => ({ word })),
        ) ?? []
      );
    case 'port': {
      const { listPorts } = await import('../../link/index.js');
      return (await listPorts()).map(({ path, manufacturer }) => ({
        word: path,
        ...(manufacturer ? { told: manufacturer } : {}),
      }));
    }
    case 'setting': {
      const { SETTING_WORDS } = await import('../settings.js');
      return Object.entries(SETTING_WORDS).map(([word, told]) => ({ word, told }));
    }
    default:
      return [];
  }
}

/** All cases, or with a profile on the line those whose faults its circuit can have. */
function casesFor({ profile }: SaidBefore): Fitting[] {
  const cases = listProfiles('case').map(({ id, title }) => ({ word: id, told: title }));
  if (typeof profile !== 'string') return cases;
  const known = new Set(faultsOfUnit(loadUnit(profile)).map(({ id }) => id));
  return cases.filter(({ word }) => loadCase(word).faults.every((fault) => known.has(fault)));
}
