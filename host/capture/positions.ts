// What the rig was doing while a sample was taken: the position thrown and the motor feed.

export const POSITIONS = ['rest', 'forward', 'reverse'] as const;
export type Position = (typeof POSITIONS)[number];

/** Motor feed of the rig: `limited` goes through its series resistor. */
export const FEEDS = ['off', 'limited', 'full'] as const;
export type Feed = (typeof FEEDS)[number];

/** Feed of the unit's relay coils: `limited` goes through a series resistor of its own. */
export const COIL_FEEDS = ['limited', 'full'] as const;
