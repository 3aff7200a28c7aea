// What a person typed, wrote or pointed at is wrong: one line that says where, what, and what would be right.

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

function sentenceOf({ file, line, key, what, mend }: InputFault): string {
  const place = line === undefined ? file : `${file}:${line}`;
  const text = `${place}: ${key ? `${key}: ` : ''}${what}${mend ? `; ${mend}` : ''}`;
  return oneLine(text);
}

/** Control characters become visible escapes: a terminal must not be steered by the content of a file. */
export function oneLine(text: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to make visible.
  return text.replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]/g, (character) =>
    character === '\n' ? ' ' : `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
