// The rig as a meter: a sense clip, taken off the motor's terminal, reads another place during one throw.

import { CLIP_HOMES, type SenseClip } from '../circuit/index.js';
import { COST_MIN } from '../diagnose/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { WAYS } from './bench-of.js';
import { placesOf } from './place.js';
import type { Probe } from './probe.js';

const CLIPS: readonly SenseClip[] = ['b', 'a'];

export function clipProbes({ style }: ResolvedUnit): Probe[] {
  if (!style.elements.some(({ kind }) => kind === 'motor')) return [];
  const places = placesOf(style);
  return CLIPS.flatMap((clip) =>
    places
      .filter(({ id }) => id !== CLIP_HOMES[clip])
      .flatMap((place) =>
        WAYS.map(
          (way): Probe => ({
            id: `clip-${clip}-${place.id}-${way}`,
            does: 'clip',
            where: [place],
            state: 'thrown',
            way,
            clip,
            costMin: COST_MIN.clip,
            takes: { kind: 'number', range: 'rig-volts' },
            words: `Outputs off, put the sense clip of lead ${clip.toUpperCase()} on ${place.words}, then one throw ${way}`,
            expect: ({ bench }) => ({ value: bench.clippedV(clip, place, way) }),
            nearly: ({ bench }) => ({ value: bench.thrown(way).volts.get(place.id) ?? 0 }),
          }),
        ),
      ),
  );
}
