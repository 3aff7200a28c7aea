// Tags that number themselves, and what a tag begins with.

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
