// Rotating raw trace of the lines on a link, kept in memory for the record of a run: "we need the log" has a log.
// Sample lines would push everything else out, so they have a ring of their own.

import { fixed } from '../tell/index.js';

export type Direction = '>' | '<' | '!';

interface Entry {
  order: number;
  hostTimeS: number;
  direction: Direction;
  line: string;
}

class Ring {
  readonly #entries: Entry[] = [];
  #next = 0;
  constructor(readonly capacity: number) {}

  push(entry: Entry): void {
    this.#entries[this.#next] = entry;
    this.#next = (this.#next + 1) % this.capacity;
  }

  entries(): Entry[] {
    return [...this.#entries];
  }
}

/** A line longer than this is cut in the trace. */
const LONGEST_TEXT = 160;

export class LineTrace {
  readonly #talk: Ring;
  readonly #samples: Ring;
  #order = 0;

  constructor(talkLines = 2000, sampleLines = 200) {
    this.#talk = new Ring(talkLines);
    this.#samples = new Ring(sampleLines);
  }

  /** `>` to the board, `<` from the board, `!` a remark of the link itself. */
  add(hostTimeS: number, direction: Direction, line: string, isSample = false): void {
    // Made readable only when asked for: a thousand lines a second pass here.
    (isSample ? this.#samples : this.#talk).push({ order: this.#order++, hostTimeS, direction, line });
  }

  /** Oldest first: host time in seconds, direction, line. */
  lines(): string[] {
    return [...this.#talk.entries(), ...this.#samples.entries()]
      .sort((a, b) => a.order - b.order)
      .map(({ hostTimeS, direction, line }) => `${fixed(hostTimeS, 4)} ${direction} ${printable(line)}`);
  }
}

/** Rubbish stays readable: everything outside printable ASCII becomes \xNN. */
function printable(line: string): string {
  const cut = line.length > LONGEST_TEXT ? `${line.slice(0, LONGEST_TEXT)}...` : line;
  return cut.replace(/[^ -~]/g, (char) => `\\x${(char.charCodeAt(0) & 0xff).toString(16).padStart(2, '0')}`);
}
