// Tags that number themselves, what a tag begins with, and what of a code reader's characters is the tag.

import { withoutSteering } from '../../input/index.js';

/** `V-0107` begins with `V-`; a tag without a number begins with all of itself. */
export const beginningOf = (tag: string): string => tag.replace(/\d+$/, '');

/** The next number behind `tag` that is not among `taken`, as many digits wide; undefined where it has none. */
export function nextTag(tag: string, taken: ReadonlySet<string>): string | undefined {
  const digits = /\d{1,9}$/.exec(tag)?.[0];
  if (digits === undefined) return undefined;
  const beginning = tag.slice(0, -digits.length);
  for (let number = Number(digits) + 1; ; number++) {
    const next = beginning + String(number).padStart(digits.length, '0');
    if (!taken.has(next)) return next;
  }
}

/** What a code reader may put before the tag to name the kind of code: `]C1` for Code 128, say (ISO/IEC 15424). */
const KIND_OF_CODE = /^\][A-Za-z][0-9A-Za-z]/;

/** The tag in what was typed or scanned: nothing that nobody sees, so that two tags that look alike are one. */
export const tagRead = (text: string): string => withoutSteering(text).replace(KIND_OF_CODE, '').trim();
