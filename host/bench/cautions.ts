// The usual cautions, told before the first throw and printed in the record. Common practice, no source.

export const CAUTIONS: readonly string[] = [
  'Clamp the motor; start and reversal kick the body. It can start either way.',
  'Keep hands, hair and cloth clear: a geared motor pinches and does not stop for fingers.',
  'No clamp or hand near an open gear; hold a rotor with a drive plate in a vice, never by hand or with a screwdriver.',
  'Lock the spring of a lift or hatch before mechanism and motor part.',
  'Power only the two motor pins of a motor with sensors. Seats with airbags: battery off, wait, never probe those plugs.',
  'Fuse the supply close to its post and wear eye protection.',
  'Motor, relay, wire and fuse may be hot after a held or long run.',
  'Switch the supply off before changing wiring or a relay; coils and a spinning motor still kick.',
  'The stop switch must break the motor feed by itself. Space or Esc sends outputs off; do not rely on it alone.',
  'Follow your local electrical codes; leave what needs a licence to those who hold it.',
];

/** Before each run that holds the rotor on purpose. Common practice, no source. */
export const HELD_ROTOR_CAUTIONS: readonly string[] = [
  'The next run feeds a rotor that may not turn: the full held current, each way.',
  'Hold the output with a drive plate in a vice, never by hand or with a screwdriver.',
  'Stand clear of the vice: the motor pulls with all it has, and the other way right after.',
  'Motor and wires get hot. Let the motor cool for a minute and a half before it is held again, after a hold of up to a minute for ten.',
];
