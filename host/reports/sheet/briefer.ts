// A full sheet made briefer, so that the circuit with the faulty place has its room: old lines of the story first, since
// the record has them all, then the size of the traces.

import type { Sheet } from './sheet.js';

/** Letters of the traces stay above the least that is read on paper: they are 12 of 960 units of a width of 186 mm. */
const SHARES = [1, 0.85, 0.7] as const;

/** The first that has room for its circuit; where none has, all of it and no circuit. */
export function withRoomForCircuit(sheet: Sheet, hasRoom: (briefer: Sheet) => boolean): Sheet {
  if (sheet.circuit === undefined) return sheet;
  for (const briefer of everBriefer(sheet)) if (hasRoom(briefer)) return briefer;
  const { circuit: _, ...rest } = sheet;
  return rest;
}

function* everBriefer(sheet: Sheet): Iterable<Sheet> {
  const { story, storyLeft = 0, causes } = sheet;
  const told = (count: number): Sheet => {
    return { ...sheet, story: story.slice(0, count), storyLeft: storyLeft + story.length - count };
  };
  yield sheet;
  for (let count = story.length - 1; count >= 1; count--) yield told(count);
  for (const count of story.length > 0 ? [1, 0] : [0])
    for (const pictureShare of SHARES) yield { ...told(count), pictureShare };
  const proven = causes.map((cause) => ({ ...cause, proof: cause.proof.slice(0, 1) }));
  yield { ...told(0), causes: proven, pictureShare: SHARES[2] };
}

/** The story as it is set, and how much more the record has. */
export function storyLines({ story, storyLeft = 0 }: Pick<Sheet, 'story' | 'storyLeft'>): string[] {
  if (storyLeft === 0) return [...story];
  const earlier = storyLeft === 1 ? '1 earlier entry' : `${storyLeft} earlier entries`;
  return story.length === 0
    ? [`${earlier}: they stand in the record`]
    : [...story, `and ${storyLeft} more before`];
}
