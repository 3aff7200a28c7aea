// What a box of a drawing takes, in whatever units its letters are told: points of a picture, or cells of a terminal.

import { wrapWords } from '../../tell/index.js';
import type { Box, Pin, Side } from './drawing.js';

export interface Metrics {
  /** Of one letter, and of one line. */
  letter: number;
  line: number;
  /** Between a box's frame and its letters. */
  pad: number;
  /** Letters that a voltage takes. */
  valueLetters: number;
  /** Lines of values at each pin. */
  valueLines: number;
  /** Lines that a mark of the fault takes beside a part's words. */
  faultLines: number;
  /** Least distance of two wires on one pin. */
  wireGap: number;
  /** Height of the symbol between the pins of a contact, and of any other part. */
  symbol: number;
  /** Whether a part's words stand beside it, or within. */
  wordsBeside: boolean;
  wordLetters: number;
  /** Of the word under them that tells how a contact stands. */
  stateLetters: number;
  badge: { width: number; height: number };
  spacing: { nodes: number; edges: number; layers: number; edgeLayers: number; edgeNode: number };
}

export interface PinAt {
  pin: Pin;
  /** Middle of the pin within its box, from the left. */
  x: number;
  width: number;
}

export interface Sized {
  box: Box;
  width: number;
  height: number;
  /** Of the part itself, without words beside it. */
  bodyWidth: number;
  lines: string[];
  /** Empty where the layout chooses. */
  pins: PinAt[];
}

/** Lines of letters at the pins of a side. */
export function pinLines(box: Box, side: Side, { valueLines }: Metrics): number {
  const pins = box.pins.filter((pin) => pin.side === side);
  if (pins.length === 0) return 0;
  return (pins.some(({ mark }) => mark !== '') ? 1 : 0) + valueLines;
}

export function sized(box: Box, metrics: Metrics): Sized {
  const lines = wrapWords(box.words, metrics.wordLetters);
  const isContact = box.kind === 'relay' || box.kind === 'switch';
  const wordsWidth =
    metrics.letter * Math.max(isContact ? metrics.stateLetters : 0, ...lines.map(({ length }) => length));
  return box.isOrdered
    ? sizedPart(box, lines, wordsWidth, metrics)
    : sizedJoint(box, lines, wordsWidth, metrics);
}

/** Words and the voltage under them, as wide as its wires want. */
function sizedJoint(box: Box, lines: string[], wordsWidth: number, metrics: Metrics): Sized {
  const { letter, line, pad, valueLetters, valueLines, wireGap, badge } = metrics;
  const perSide = (['top', 'bottom'] as const).map(
    (side) => box.pins.filter((pin) => pin.side === side).length,
  );
  const wires = (Math.max(...perSide) + 1) * Math.max(wireGap, badge.width * 0.6);
  const width = Math.ceil(Math.max(wordsWidth, letter * valueLetters, wires - 2 * pad) + 2 * pad);
  const height = (lines.length + valueLines) * line + 2 * pad;
  return { box, width, height, bodyWidth: width, lines, pins: [] };
}

function sizedPart(box: Box, lines: string[], wordsWidth: number, metrics: Metrics): Sized {
  const { letter, line, pad, symbol, wordsBeside } = metrics;
  const isContact = box.kind === 'relay' || box.kind === 'switch';
  const wordLines = lines.length + (isContact ? 1 : 0) + metrics.faultLines;
  const widthOf = (pin: Pin): number =>
    Math.ceil(
      Math.max(
        letter * Math.max(pin.mark.length, metrics.valueLetters),
        (pin.ends.length + 1) * metrics.wireGap,
      ) + pad,
    );
  const coil = box.kind === 'relay' ? box.pins.slice(-2) : [];
  const contacts = box.kind === 'relay' ? box.pins.slice(0, -2) : box.pins;
  const row = (pins: readonly Pin[], side: Side, from: number, to: number): PinAt[] => {
    const own = pins.filter((pin) => pin.side === side);
    const widths = own.map(widthOf);
    const free = to - from - widths.reduce((sum, each) => sum + each, 0);
    let x = from + free / 2;
    return own.map((pin, i) => {
      const width = widths[i] ?? 0;
      x += width;
      return { pin, x: Math.round(x - width / 2), width };
    });
  };
  const across = (pins: readonly Pin[]): number =>
    Math.max(
      ...(['top', 'bottom'] as const).map((side) =>
        pins.filter((pin) => pin.side === side).reduce((sum, pin) => sum + widthOf(pin), 0),
      ),
    );
  const first = across(contacts);
  const second = coil.length === 0 ? 0 : across(coil);
  const wanted = wordsBeside ? 0 : wordsWidth + 2 * pad - first - second;
  const spare = Math.max(0, Math.ceil(wanted));
  const left = pad + (coil.length === 0 ? spare / 2 : 0);
  const pins = [
    ...(['top', 'bottom'] as const).flatMap((side) => row(contacts, side, left, left + first)),
    ...(['top', 'bottom'] as const).flatMap((side) =>
      row(coil, side, left + first + spare, left + first + spare + second),
    ),
  ];
  const bodyWidth = Math.ceil(2 * pad + first + second + spare);
  const width = wordsBeside ? bodyWidth + Math.ceil(wordsWidth + 2 * pad) : bodyWidth;
  const within = wordsBeside ? symbol : wordLines * line + symbol;
  const pinRows = (pinLines(box, 'top', metrics) + pinLines(box, 'bottom', metrics)) * line;
  const height = Math.max(pinRows + within + 2 * pad, wordsBeside ? wordLines * line : 0);
  return { box, width, height, bodyWidth, lines, pins };
}
