// The tag of a unit as a person typed it or a list holds it.

import { steeringIn } from '../input/index.js';
import { LONGEST_TAG } from './longest-tag.js';

/** What is wrong with a tag, and what would be right; undefined where nothing is. */
export function tagFault(tag: string): { what: string; mend: string } | undefined {
  if (tag === '') return { what: 'the tag is missing', mend: 'write one, such as V-0107' };
  if (tag.length > LONGEST_TAG)
    return { what: `the tag has ${tag.length} characters`, mend: `use ${LONGEST_TAG} at the most` };
  const steering = steeringIn(tag);
  return steering === undefined
    ? undefined
    : { what: `the tag holds ${steering}, which is no letter`, mend: 'take that character out' };
}
