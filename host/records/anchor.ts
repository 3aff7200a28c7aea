// The short form of a record's hash, to be noted on paper and to be asked for later.

/** 48 bits: nobody meets one by chance, and it is still typed without a slip. */
const DIGITS = 12;
/** Fewer than this could be met by chance. */
const LEAST_DIGITS = 8;

export const anchorOf = (hash: string): string => hash.slice(0, DIGITS);

/** Something that may stand for a hash: its beginning, or all of it. */
export const isAnchor = (text: string): boolean =>
  new RegExp(`^[0-9a-f]{${LEAST_DIGITS},64}$`, 'i').test(text);

/** Whether `anchor` is the beginning of `hash`, in any case. */
export const isAnchorOf = (anchor: string, hash: string): boolean => hash.startsWith(anchor.toLowerCase());
