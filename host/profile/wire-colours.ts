// Colours of wires by the letters of IEC 60757:2021, table 1; several in a row are one wire of several colours, such as
// GNYE. Two letters each, so that they are read whatever the language.

import * as z from 'zod';

export const WIRE_COLOURS = {
  BK: 'black',
  BN: 'brown',
  RD: 'red',
  OG: 'orange',
  YE: 'yellow',
  GN: 'green',
  BU: 'blue',
  VT: 'violet',
  GY: 'grey',
  WH: 'white',
  PK: 'pink',
  GD: 'gold',
  TQ: 'turquoise',
  SR: 'silver',
} as const;
export type WireColour = keyof typeof WIRE_COLOURS;

const CODES = Object.keys(WIRE_COLOURS);
const ONE_WIRE = new RegExp(`^(${CODES.join('|')}){1,2}$`);

/** `RD`, or `GNYE` with its stripe. */
export const wireColour = z
  .string()
  .regex(
    ONE_WIRE,
    `use the letters of IEC 60757, one colour or a colour and its stripe, such as RD or GNYE: ${CODES.join(' ')}`,
  );

/** Base first, then its stripe; none for what is no such code. */
export const coloursOf = (code: string): WireColour[] =>
  ONE_WIRE.test(code) ? ((code.match(/../g) ?? []) as WireColour[]) : [];

/** `green with yellow`. */
export const colourWords = (code: string): string =>
  coloursOf(code)
    .map((each) => WIRE_COLOURS[each])
    .join(' with ');
