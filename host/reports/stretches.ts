// Which stretches a capture has, and a strip under the time axis that names them: labels of narrow ones step down a
// row, with a thin line up to their own stretch, so that none lies on another.

import { sampleAt } from '../arrays/index.js';
import type { Capture, Feed, Position } from '../capture/index.js';
import { n, textAt, textWidth } from './svg.js';

export interface Stretch {
  position: Position;
  /** Full where the capture does not tell. */
  feed: Feed;
  fromS: number;
  toS: number;
}

type Thrown = Pick<Capture, 'timeS' | 'position' | 'feed' | 'positionKnown'>;

/** In their order; empty where the capture does not tell positions. */
export function stretchesOf({ timeS, position, feed, positionKnown }: Thrown): Stretch[] {
  const found: Stretch[] = [];
  if (positionKnown === false) return found;
  for (const [i, thrown] of position.entries()) {
    const fed = feed?.[i] ?? 'full';
    const present = found.at(-1);
    const atS = sampleAt(timeS, i);
    if (present && present.position === thrown && present.feed === fed) present.toS = atS;
    else {
      if (present) present.toS = atS;
      found.push({ position: thrown, feed: fed, fromS: atS, toS: atS });
    }
  }
  return found;
}

/** Neighbours that `word` tells alike, as one. */
function joined(stretches: readonly Stretch[], word: (stretch: Stretch) => string): Named[] {
  const found: Named[] = [];
  for (const stretch of stretches) {
    const text = word(stretch);
    const present = found.at(-1);
    if (present?.text === text) present.toS = stretch.toS;
    else found.push({ text, fromS: stretch.fromS, toS: stretch.toS });
  }
  return found;
}

interface Named {
  text: string;
  fromS: number;
  toS: number;
}

export interface Strip {
  parts: string[];
  height: number;
}

interface StripPlace {
  x: (timeS: number) => number;
  left: number;
  right: number;
  top: number;
}

const SIZE = 11;
const BAND = 15;
const ROW = 13;
const PAD = 4;

/** What the positions are called, where a motor's words do not fit. */
export interface ThrowWords {
  /** Stands before the strip. */
  name: string;
  of: Record<Position, string>;
}

const MOTOR_WORDS: ThrowWords = {
  name: 'throw',
  of: { rest: 'rest', forward: 'forward', reverse: 'reverse' },
};

/** A place of the time axis with its name. */
export interface StripMark {
  atS: number;
  text: string;
}

/** The position and the feed of every stretch, and what is enlarged, each in a strip of its own. */
export function stretchStrips(
  { stretches, words = MOTOR_WORDS, marks }: StripsWanted,
  place: StripPlace,
): Strip {
  const lasting = stretches.filter(({ fromS, toS }) => toS > fromS);
  const throws = strip(
    { name: words.name, quiet: words.of.rest },
    joined(lasting, ({ position }) => words.of[position]),
    place,
  );
  const below = { ...place, top: place.top + throws.height };
  const feeds = strip(
    { name: 'feed', quiet: 'off' },
    joined(lasting, ({ feed }) => feed),
    below,
  );
  const letters = markRow(marks, { ...place, top: below.top + feeds.height });
  return {
    parts: [...throws.parts, ...feeds.parts, ...letters.parts],
    height: throws.height + feeds.height + letters.height,
  };
}

interface StripsWanted {
  stretches: readonly Stretch[];
  words?: ThrowWords | undefined;
  marks: readonly StripMark[];
}

/** Neighbours share one place. */
function markRow(marks: readonly StripMark[], { x, left, top }: StripPlace): Strip {
  if (marks.length === 0) return { parts: [], height: 0 };
  const shown: { at: number; text: string }[] = [];
  for (const { atS, text } of marks) {
    const present = shown.at(-1);
    if (present && x(atS) - present.at < textWidth(`${present.text}, ${text}`, SIZE))
      present.text += `, ${text}`;
    else shown.push({ at: x(atS), text });
  }
  return {
    parts: [
      textAt(left - 6, top + 11, 'enlarged', { size: SIZE, anchor: 'end', fill: '#444444' }),
      ...shown.map(({ at, text }) => textAt(at, top + 11, text, { size: SIZE, isBold: true })),
    ],
    height: BAND + 2,
  };
}

function strip(
  { name, quiet }: { name: string; quiet: string },
  named: readonly Named[],
  { x, left, right, top }: StripPlace,
): Strip {
  const parts = [textAt(left - 6, top + 11, name, { size: SIZE, anchor: 'end', fill: '#444444' })];
  /** How far each row below the strip is taken. */
  const takenTo: number[] = [];
  for (const { text, fromS, toS } of named) {
    const [from, to] = [x(fromS), x(toS)];
    const fill = text === quiet ? '#ffffff' : '#e4e4e4';
    parts.push(
      `<rect x="${n(from)}" y="${n(top)}" width="${n(to - from)}" height="${BAND}" fill="${fill}" stroke="#888888" stroke-width="0.6"/>`,
    );
    const width = textWidth(text, SIZE);
    const middle = (from + to) / 2;
    if (width + PAD <= to - from) {
      parts.push(textAt(middle, top + 11, text, { size: SIZE, anchor: 'middle' }));
      continue;
    }
    // A narrow white box between two that are named needs no name.
    if (text === quiet) continue;
    const start = Math.max(left, Math.min(right - width, middle - width / 2));
    const free = takenTo.findIndex((end) => end + PAD <= start);
    const row = free === -1 ? takenTo.length : free;
    takenTo[row] = start + width;
    const y = top + BAND + (row + 1) * ROW - 3;
    parts.push(
      ...(row === 0
        ? []
        : [
            `<line x1="${n(middle)}" y1="${n(top + BAND)}" x2="${n(middle)}" y2="${n(y - 9)}" stroke="#888888" stroke-width="0.6"/>`,
          ]),
      // White behind the letters: lines of lower rows pass here.
      `<rect x="${n(start - 1)}" y="${n(y - 9)}" width="${n(width + 2)}" height="11" fill="#ffffff"/>`,
      textAt(start + width / 2, y, text, { size: SIZE, anchor: 'middle' }),
    );
  }
  return { parts, height: BAND + takenTo.length * ROW + 4 };
}
