// Kinds of profile as people say them, one and many.

import type { ProfileKind } from '../../profile/index.js';

/** In the order in which they are listed. */
export const KIND_WORDS: Readonly<Record<ProfileKind, string>> = {
  unit: 'units',
  motor: 'motors',
  relay: 'relays',
  load: 'loads',
  circuit: 'circuits',
  plan: 'plans',
  parts: 'parts',
  rig: 'rigs',
  tray: 'trays',
  case: 'cases',
};

export const KIND_NAMES = Object.keys(KIND_WORDS) as ProfileKind[];

/** `motor` or `motors`; undefined for what is neither. */
export const kindNamed = (word: string): ProfileKind | undefined =>
  KIND_NAMES.find((kind) => kind === word || KIND_WORDS[kind] === word);
