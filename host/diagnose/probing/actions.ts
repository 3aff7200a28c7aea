// What a hand does to find a fault, in the order of a good one: what costs a glance first, the meter last. One order and
// one list of costs for the next probe of a finding and for every probe that is asked for one by one.

export const ACTIONS = [
  'look',
  'listen',
  'tap',
  'wiggle',
  'exchange',
  'unplug',
  'lamp',
  'clip',
  'meter',
] as const;
export type Action = (typeof ACTIONS)[number];

/** `off`: outputs off, all plugged; `unplugged`: outputs off, and the part named out of its plug or socket. */
export type BenchState = 'off' | 'unplugged' | 'thrown';

/** Of a hand's time, minutes: doing it and coming back to the bench as it was. Common practice, no source. */
export const COST_MIN = {
  press: 0.3,
  glance: 0.5,
  look: 1.5,
  listen: 0.5,
  tap: 0.5,
  wiggle: 0.7,
  exchange: 1.2,
  unplug: 1,
  lamp: 1.3,
  /** On, one throw, and back. */
  clip: 2,
  meterThrown: 1.8,
  meterOff: 2,
  meterPulled: 2,
  battery: 3,
} as const;

/** What a probe is, whoever asks for it. */
export interface Acted {
  does: Action;
  state: BenchState;
  costMin: number;
}

/** Sorts into the order of a good hand; within one action things stay as they were. */
export const byAction = (a: Acted, b: Acted): number => ACTIONS.indexOf(a.does) - ACTIONS.indexOf(b.does);
