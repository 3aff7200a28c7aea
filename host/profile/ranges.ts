// What a number in a profile can plausibly be, with its unit and the reason: one table for files, messages, editors and
// printed profiles. Wide on purpose: it stops a slip of the decimal point or a wrong unit, not an unusual part. A unit out
// of an old record is not held to it. Where no source stands, common practice for vehicles of 6 to 48 V, no source.

import * as z from 'zod';

export interface Range {
  least: number;
  most: number;
  /** Of the value as written; empty for a plain number. */
  unit: string;
  /** Why nothing lies outside, as one would say it. */
  why: string;
}

/** The schema with its range, in the words of JSON Schema and with `unit` and `why` beside them. */
export function ranged<S extends z.ZodNumber | z.ZodInt>(schema: S, range: Range): S {
  const { least, most, unit, why } = range;
  const description = `${unit === '' ? '' : `${unit}, `}${least} to ${most}: ${why}`;
  return schema.meta({ minimum: least, maximum: most, unit, why, description }) as S;
}

/** A range by itself. What no number of the kind can be (none at all, below zero) the schema refuses in records too. */
export const within = (least: number, most: number, unit: string, why: string): z.ZodNumber =>
  ranged(least > 0 ? z.number().positive() : least === 0 ? z.number().nonnegative() : z.number(), {
    least,
    most,
    unit,
    why,
  });

/** A name or sentence that fits where it is printed. */
export const words = (most = 120): z.ZodString => z.string().meta({ minLength: 1, maxLength: most });

const PER_TURN = 'at 12 V the armature then turns at 12 V over this, 12 to 12,000 rad/s';
const HELD = 'a held rotor takes its voltage over this: at 12 V 0.12 to 600 A';

/** Numbers that stand in more than one kind of file, or need a reason at length. */
export const RANGE = {
  systemV: () => within(5, 60, 'V', 'vehicles have 6, 12, 24 or 48 V'),
  tolerancePercent: () => within(0, 90, '%', 'half of the spread; with more a part would have nothing left'),
  armatureOhm: () => within(0.02, 100, 'Ohm', HELD),
  armatureH: () => within(1e-6, 0.5, 'H', 'small motors have 0.1 to 20 mH'),
  backEmf: () => within(0.001, 1, 'V s/rad', PER_TURN),
  torque: () => within(0.001, 1, 'N m/A', 'in these units about the same number as backEmfVsPerRad'),
  inertia: () => within(1e-8, 0.01, 'kg m²', 'an armature has 1e-6 (vent) to 1e-3 (winch)'),
  viscous: () => within(0, 0.05, 'N m s/rad', 'friction that grows with speed, at the armature'),
  coulomb: () => within(0, 5, 'N m', 'friction at the armature, before the gears'),
  frictionRatio: () => within(0.1, 10, '', 'reverse over forward'),
  motorA: () => within(0.01, 600, 'A', 'a mirror motor runs on 0.05 A, a winch is held at 400 A'),
  brushDropV: () => within(0, 3, 'V', 'both brushes together drop 0.2 to 2 V'),
  kneeA: () => within(0.001, 20, 'A', 'where the brush drop is reached'),
  suppressionF: () => within(0, 1e-4, 'F', 'across a motor lie nanofarads, some microfarads at most'),
  holdS: () => within(0.05, 600, 's', 'a throw lasts a second, a wait for a protector some minutes'),
  protectorS: () => within(0.1, 600, 's', 'published: opens in 4 to 40 s, some within 90 s'),
  coilOhm: () => within(2, 10_000, 'Ohm', 'a coil of 12 V takes 12 V over this: 75 to 100 Ohm are usual'),
  coilH: () => within(0.001, 20, 'H', 'coils of plug-in relays have 0.1 to 1 H'),
  inductanceRatio: () => within(1, 5, '', 'a closed armature makes the coil stronger, not weaker'),
  coilV: () => within(0.1, 60, 'V', 'a coil of 12 V pulls in at 6 to 8 V and drops out at 1 to 4 V'),
  operateS: () => within(0.0002, 0.1, 's', 'plug-in relays take 2 to 20 ms: 7 ms is 0.007'),
  contactS: () => within(1e-5, 0.05, 's', 'contacts travel and bounce for 0.3 to 10 ms'),
  contactOhm: () => within(1e-5, 0.5, 'Ohm', 'a contact has 1 to 20 mOhm: 3 mOhm is 0.003'),
  dropV: () => within(0.001, 2, 'V', 'published: at most 0.05 V at 10 A'),
  suppressionOhm: () =>
    within(20, 20_000, 'Ohm', 'the resistor across a coil has 4 to 10 times its resistance'),
  diodeV: () => within(0.1, 3, 'V', 'a diode drops 0.3 to 1.2 V'),
  diodeOhm: () => within(1e-4, 10, 'Ohm', 'beyond its forward voltage a diode adds milliohms'),
  loadOhm: () => within(0.02, 2000, 'Ohm', 'a known load takes 1 A and more'),
  powerW: () => within(0.1, 5000, 'W', 'what the load bears without end'),
  atZeroCount: () => within(-2000, 2000, '', 'the reading where the converter tells 0, in A or V'),
  perCount: () => within(1e-7, 10, '', 'a reading grows with its count, in A or V a count'),
  uncertaintyPercent: () => within(0, 50, '%', 'a standard uncertainty after calibration'),
  uncertainty: () => within(0, 20, '', 'a standard uncertainty after calibration, in A or V'),
  adcBits: () =>
    ranged(z.int(), { least: 6, most: 24, unit: '', why: 'converters of boards have 8 to 24 bits' }),
  sourceOhm: () => within(1e-4, 10, 'Ohm', 'a battery with its leads has 10 to 100 mOhm'),
  supplyA: () => within(0.01, 1000, 'A', 'what the supply lets through'),
  shuntOhm: () => within(1e-5, 1, 'Ohm', 'shunts have 0.1 to 100 mOhm: 1 mOhm is 0.001'),
  feedContactOhm: () => within(1e-5, 2, 'Ohm', 'switch and wire of the feed have milliohms'),
  limitedOhm: () => within(1, 1000, 'Ohm', 'the limited feed is the supply over this, about 1 A'),
  limitedCoilOhm: () =>
    within(1, 1000, 'Ohm', 'less than any coil has, so that a short through it is told from a coil'),
  leadLoadOhm: () => within(100, 1e7, 'Ohm', 'heavy enough that an open lead does not float, 10 to 50 kOhm'),
  clampV: () => within(5, 400, 'V', 'a suppressor opens above the supply, 24 to 33 V'),
  deadTimeS: () => within(0.001, 60, 's', 'the rest between opposite throws'),
  stepS: () =>
    within(0.001, 3600, 's', 'a throw lasts a second or two, the turning of a supply half a minute'),
  tripA: () => within(0.1, 1000, 'A', 'above an inrush, below what fuse and shunt bear'),
  lengthM: () => within(0.001, 100, 'm', 'wires of a vehicle: 150 cm is 1.5'),
  areaMm2: () => within(0.05, 120, 'mm²', 'thin signal wire has 0.14, a battery lead 120'),
  awg: () => within(-3, 40, '', 'AWG 40 is a hair; 0, 00, 000 and 0000 are written 0, -1, -2 and -3'),
  ambientC: () => within(-40, 90, '°C', 'of a workshop or a vehicle'),
  partC: () => within(-60, 250, '°C', 'hotter, the winding burns'),
  spreadC: () => within(0, 80, 'K', 'either way'),
  ohm: () => within(1e-6, 1e9, 'Ohm', 'a wire has milliohms, an insulation a thousand megohms'),
  farad: () => within(1e-14, 10, 'F', 'capacitors have picofarads to some farads'),
  openingS: () => within(0.0001, 1_000_000, 's', 'a fuse opens in hundredths of a second to hours'),
  fuseA: () => within(0.05, 1000, 'A', 'blade fuses have 1 to 40 A'),
  contactA: () => within(0.01, 1000, 'A', 'a signal switch carries 0.1 A, a battery switch some hundreds'),
  wireOhmPerM: () =>
    within(1e-5, 1, 'Ohm/m', '1 mm² of copper has 0.0172 to 0.0195 a metre: 19.5 Ohm/km is 0.0195'),
  protectorOhm: () => within(1e-4, 1e9, 'Ohm', 'published: cold 10 to 100 mOhm; tripped, next to open'),
  angleRad: () => within(-1e6, 1e6, 'rad', 'shaft angle from the start; a turn is 6.283'),
  scale: () => within(0.001, 1000, '', 'a factor: 1 leaves the part as it is'),
  perSecond: () => within(0, 10_000, '1/s', 'how often a second'),
  travelS: () => within(0.3, 60, 's', 'from end to end by a watch'),
  waitS: () => within(0.001, 600, 's', 'how long a person takes'),
} as const satisfies Record<string, () => z.ZodNumber | z.ZodInt>;
