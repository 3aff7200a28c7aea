// Options that tell what a capture by another instrument does not: rate, scale, supply, segments, who threw.

export const CAPTURE_OPTIONS = {
  'supply-v': { type: 'string' },
  segments: { type: 'string' },
  'current-scale': { type: 'string' },
  'current-column': { type: 'string' },
  'sample-rate': { type: 'string' },
  'by-hand': { type: 'boolean' },
} as const;

export const CAPTURE_USAGE = `  --sample-rate HZ      rate of the samples of a file without times
  --current-column NAME the column that is the motor current, whatever its name
  --current-scale X     multiplies every current: a clamp's amperes a volt; =-1 turns the sign
  --supply-v V          supply voltage, when it was not sampled
  --segments N          segments of the motor's commutator, for its speed from the ripple (two brushes: an odd
                        count gives two ripples a segment)
  --by-hand             the switch was thrown by hand: the waveform tells the throws, not the position column`;
