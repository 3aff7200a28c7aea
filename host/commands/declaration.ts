// The shape in which a verb tells what it is called with.

/** What a shell may offer for a value: what there is of that, or one of these words. */
export type Offer =
  | 'unit'
  | 'motor'
  | 'circuit'
  | 'plan'
  | 'case'
  | 'tray'
  | 'fault'
  | 'run'
  | 'tag'
  | 'port'
  | 'setting'
  | 'file'
  | 'folder'
  | readonly string[];

export interface OptionTold {
  type: 'string' | 'boolean';
  multiple?: boolean;
  default?: boolean | string;
  /** What stands for its value: P, FILE, N. */
  value?: string;
  /** What it does. Absent: taken only to be answered better than as unknown, and told nowhere. */
  words?: string;
  offer?: Offer;
  /** Words that fit beside what there is of the offer. */
  also?: readonly string[];
  /** Names of the parts that it goes with; absent: all. */
  only?: readonly string[];
}

export type OptionsTold = Readonly<Record<string, OptionTold>>;

/** A word that is no option, by its place. */
export interface WordTold {
  name: string;
  words: string;
  offer?: Offer;
  /** The last of them may come again. */
  repeats?: boolean;
}

/** What can be said of a verb as of each of its parts. */
interface Told {
  /** Ways to call it, without the program's name: `log show RUN [--csv FILE]`. */
  calls: readonly string[];
  takes?: readonly WordTold[];
  examples: readonly string[];
}

/** What the word behind a verb stands for, such as `show` behind `log`. */
export interface PartTold extends Told {
  words: string;
}

export interface Declaration<O extends OptionsTold = OptionsTold> extends Omit<Told, 'calls'> {
  /** Absent: those of its parts, one after the other. */
  calls?: readonly string[];
  options: O;
  parts?: Readonly<Record<string, PartTold>>;
  /** What else must be known, in paragraphs. */
  notes?: string;
  /** `0 pass, 1 fail …` */
  exit?: string;
  /** Tells no temperature, wire or day: a settings file that cannot be read does not stand in its way. */
  isPlain?: true;
}

/** Ways to call a verb. */
export const callsOf = ({ calls, parts = {} }: Declaration): readonly string[] =>
  calls ?? Object.values(parts).flatMap((part) => part.calls);
