// Options that tell what a capture by another instrument does not: rate, scale, supply, segments, who threw.

export const CAPTURE_OPTIONS = {
  'supply-v': { type: 'string' },
  segments: { type: 'string' },
  'current-scale': { type: 'string' },
  'current-column': { type: 'string' },
  'sample-rate': { type: 'string' },
  rate: { type: 'string' },
  column: { type: 'string', multiple: true },
  'time-column': { type: 'string' },
  'time-scale': { type: 'string' },
  'skip-rows': { type: 'string' },
  decimal: { type: 'string' },
  'by-hand': { type: 'boolean' },
  accuracy: { type: 'string', multiple: true },
  'zero-from-rest': { type: 'boolean' },
} as const;

export const CAPTURE_USAGE = `  --column ROLE=COLUMN  which column is what: motor, feed, coil (currents), lead-a, lead-b, supply (voltages); COLUMN is
                        a heading or a number from 1, with a unit or factor if need be: motor=CH1:mA, motor=2:10
  --time-column NAME    the column of times; none counts the samples by --sample-rate
  --time-scale X        what one of it is: s, ms, us, min, or a number of seconds
  --skip-rows N         lines at the beginning that are not looked at
  --decimal SIGN        point or comma, where a file can be read either way
  --sample-rate HZ      rate of the samples of a file without times (or --rate)
  --current-column NAME the column that is the motor current, whatever its name
  --current-scale X     multiplies every current: a clamp's amperes a volt; =-1 turns the sign
  --supply-v V          supply voltage, when it was not sampled
  --segments N          segments of the motor's commutator, for its speed from the ripple (two brushes: an odd
                        count gives two ripples a segment)
  --accuracy LIMITS     limits of error of the instrument, such as "1.5 % + 20 mA"; of one channel: motor="1 % + 50 mA"
  --zero-from-rest      takes what the currents read before the first throw for their zero
  --by-hand             the switch was thrown by hand: the waveform tells the throws, not the position column`;
