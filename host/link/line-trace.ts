// Rotating raw trace of the lines on a link, kept in memory for the record of a run: "we need the log" has a log.
// Sample lines would push everything else out, so they have a ring of their own.

export type Direction = '>' | '<' | '!';

class Ring {
  readonly #entries: { order: number; text: string }[] = [];
  #next = 0;
  constructor(readonly capacity: number) {}

  push(order: number, text: string): void {
    this.#entries[this.#next] = { order, text };
    this.#next = (this.#next + 1) % this.capacity;
  }

  entries(): { order: number; text: string }[] {
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
    const text = `${hostTimeS.toFixed(4)} ${direction} ${printable(line)}`;
    (isSample ? this.#samples : this.#talk).push(this.#order++, text);
  }

  /** Oldest first: host time in seconds, direction, line. */
  lines(): string[] {
    return [...this.#talk.entries(), ...this.#samples.entries()]
      .sort((a, b) => a.order - b.order)
      .map(({ text }) => text);
  }
}

/** Rubbish stays readable: everything outside printable ASCII becomes \xNN. */
function printable(line: string): string {
  const cut = line.length > LONGEST_TEXT ? `${line.slice(0, LONGEST_TEXT)}...` : line;
  return cut.replace(/[^ -~]/g, (char) => `\\x${(char.charCodeAt(0) & 0xff).toString(16).padStart(2, '0')}`);
}
