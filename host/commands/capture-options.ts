// Options that tell what a capture by another instrument does not: rate, scale, supply, segments, who threw.

export const CAPTURE_OPTIONS = {
  column: {
    type: 'string',
    multiple: true,
    value: 'ROLE=COLUMN',
    words: `which column is what: motor, feed, coil (currents), lead-a, lead-b, motor-voltage (across both), supply (voltages); COLUMN is a heading or
      a number from 1, with a unit or factor if need be: motor=CH1:mA, motor=2:10`,
    offer: ['motor=', 'feed=', 'coil=', 'lead-a=', 'lead-b=', 'motor-voltage=', 'supply='],
  },
  'time-column': {
    type: 'string',
    value: 'NAME',
    words: 'the column of times; none counts the samples by --sample-rate',
  },
  'time-scale': {
    type: 'string',
    value: 'X',
    words: 'what one of it is: s, ms, us, min, or a number of seconds',
    offer: ['s', 'ms', 'us', 'min'],
  },
  'skip-rows': { type: 'string', value: 'N', words: 'lines at the beginning that are not looked at' },
  decimal: {
    type: 'string',
    value: 'SIGN',
    words: 'point or comma, where a file can be read either way',
    offer: ['point', 'comma'],
  },
  'sample-rate': {
    type: 'string',
    value: 'HZ',
    words: 'rate of the samples of a file without times (or --rate)',
  },
  rate: { type: 'string' },
  'current-column': {
    type: 'string',
    value: 'NAME',
    words: 'the column that is the motor current, whatever its name',
  },
  'current-scale': {
    type: 'string',
    value: 'X',
    words: "multiplies every current: a clamp's amperes a volt; =-1 turns the sign",
  },
  'supply-v': { type: 'string', value: 'V', words: 'supply voltage, when it was not sampled' },
  segments: {
    type: 'string',
    value: 'N',
    words: `segments of the motor's commutator, for its speed from the ripple (two brushes: an odd count gives two ripples
      a segment)`,
  },
  accuracy: {
    type: 'string',
    multiple: true,
    value: 'LIMITS',
    words: `limits of error of the instrument, such as "1.5 % + 20 mA"; of one channel: motor="1 % + 50 mA"`,
  },
  'zero-from-rest': {
    type: 'boolean',
    words: 'takes what the currents read before the first throw for their zero',
  },
  'by-hand': {
    type: 'boolean',
    words: 'the switch was thrown by hand: the waveform tells the throws, not the position column',
  },
} as const;

/** Of `judge`, `run` and `tray`. */
export const AMBIENT_OPTION = {
  type: 'string',
  value: 'C',
  words:
    'ambient of the bench by a thermometer, °C or such as 54F: narrows the limits, which else allow an unheated workshop',
} as const;

export const LEARNED_OPTION = {
  type: 'string',
  value: 'FILE',
  words: 'limits from known good units, as throwbench learn wrote them',
  offer: 'file',
} as const;
