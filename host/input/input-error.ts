// What a person typed, wrote or pointed at is wrong: one line that says where, what, and what would be right.

import { oneLine } from './visible.js';

export interface InputFault {
  /** The file as the user would name it, or what stands for one (`standard input`). */
  file: string;
  /** Counted from 1. */
  line?: number | undefined;
  /** Key or column, dotted from the top of the file. */
  key?: string | undefined;
  what: string;
  mend?: string | undefined;
}

/** Bad input by the user; the message is one line without control characters, whatever stood in the file. */
export class InputError extends Error {
  override name = 'InputError';
  readonly code = 'bad-input';
  readonly file: string;
  readonly line: number | undefined;
  readonly key: string | undefined;

  constructor(fault: InputFault, options?: ErrorOptions) {
    super(sentenceOf(fault), options);
    this.file = fault.file;
    this.line = fault.line;
    this.key = fault.key;
  }
}

/** What of a part is worth reading; behind it a file repeats itself. */
const LONGEST = { key: 80, what: 220, mend: 200 } as const;

const clipped = (text: string, longest: number): string =>
  text.length <= longest ? text : `${text.slice(0, longest - 1)}…`;

function sentenceOf({ file, line, key, what, mend }: InputFault): string {
  const place = line === undefined ? file : `${file}:${line}`;
  const where = key ? `${clipped(key, LONGEST.key)}: ` : '';
  const right = mend ? `; ${clipped(mend, LONGEST.mend)}` : '';
  return oneLine(`${place}: ${where}${clipped(what, LONGEST.what)}${right}`);
}
