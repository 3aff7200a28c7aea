// What the rig was doing while a sample was taken: the position thrown and the motor feed.

export const POSITIONS = ['rest', 'forward', 'reverse'] as const;
export type Position = (typeof POSITIONS)[number];

/** What switches and loggers call them besides; up and down are no direction of a motor. Common practice, no source. */
const OTHER_WORDS: Readonly<Record<string, Position>> = {
  ...{ off: 'rest', stop: 'rest', stopped: 'rest', neutral: 'rest', idle: 'rest', '0': 'rest' },
  ...{ fwd: 'forward', f: 'forward', '1': 'forward', '+1': 'forward' },
  ...{ rev: 'reverse', r: 'reverse', '-1': 'reverse' },
};

/** The position that a lower-case word of a table stands for; the word itself where it is none. */
export const positionWord = (word: string): string => OTHER_WORDS[word] ?? word;

/** Motor feed of the rig: `limited` goes through its series resistor. */
export const FEEDS = ['off', 'limited', 'full'] as const;
export type Feed = (typeof FEEDS)[number];

/** Feed of the unit's relay coils: `limited` goes through a series resistor of its own. */
export const COIL_FEEDS = ['limited', 'full'] as const;
