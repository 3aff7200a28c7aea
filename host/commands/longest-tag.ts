// How long a tag may be, by itself, since a start of the program reads it.

/** Letters that fit on a label, a screen and a sheet. */
export const LONGEST_TAG = 24;
