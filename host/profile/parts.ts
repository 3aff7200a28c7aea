// What can be bought for a build: classes of switches, relays, fuses, wires and terminals, from which `ratings` suggests.
// A class is no maker's part; a person's own file may add one that is.

import * as z from 'zod';
import type { PartRefusal } from './part-rules.js';
import { RANGE, words } from './ranges.js';
import { id, origin } from './schema.js';

/** Told of a part whose file names no source. */
export const NO_SOURCE = 'common practice, no source';

const named = {
  id,
  /** As it is called in a suggestion: `switch of 16 A`. */
  title: words(60),
  origin: origin.default('generic'),
  source: words(160).default(NO_SOURCE),
};

/** Of the circuit that a part is for, direct voltage: 12 or 24. Where nothing is told, nothing is promised above 12 V. */
const ratedV = RANGE.systemV().optional();

/** When it opens at a current, by its sheet: the shortest and the longest time. */
const opening = z
  .strictObject({
    currentA: RANGE.fuseA(),
    leastS: RANGE.openingS(),
    /** Absent where the sheet promises no opening. */
    mostS: RANGE.openingS().optional(),
  })
  .refine(({ leastS, mostS = leastS }) => mostS >= leastS, {
    message: 'mostS is shorter than leastS: exchange them',
  });

/** Opens by the gates of a standard blade fuse, or by the points of its own sheet. */
const fuse = z.strictObject({
  ...named,
  ratedA: RANGE.fuseA(),
  /** Most direct voltage that it may open. */
  ratedV,
  /** In rising order of current; read between them on logarithmic paper. */
  opens: z.array(opening).min(2).max(40).optional(),
});

const wire = z
  .strictObject({
    ...named,
    areaMm2: RANGE.areaMm2().optional(),
    awg: RANGE.awg().optional(),
    /** Default: of the published table of chassis wiring, the size at or below this one. */
    carryA: RANGE.contactA().optional(),
    /** At 20 °C. Default: IEC 60228 class 5, or the thinnest wire sold by that gauge. */
    resistanceOhmPerM: RANGE.wireOhmPerM().optional(),
  })
  .refine(({ areaMm2, awg }) => (areaMm2 === undefined) !== (awg === undefined), {
    message: 'give the size once, as areaMm2 or as awg',
  });

const switchClass = z.strictObject({
  ...named,
  /** Without end, its contacts closed. */
  carryA: RANGE.contactA(),
  /** Closing, for a moment: a motor's start. Default: not told, and not asked. */
  makeA: RANGE.contactA().optional(),
  /** Opening, direct current into a resistance. Default: as it carries. */
  breakA: RANGE.contactA().optional(),
  /** Opening, direct current into a motor or coil. Default: as into a resistance. */
  inductiveA: RANGE.contactA().optional(),
  ratedV,
});

const relay = z.strictObject({
  ...named,
  /** Of 87. */
  makeA: RANGE.contactA(),
  /** Of 87a; absent where it has none. */
  breakA: RANGE.contactA().optional(),
  /** Of its coil, and of what its contacts switch. */
  ratedV,
});

const connector = z.strictObject({ ...named, carryA: RANGE.contactA() });

/** The lists of a file, in the order in which a build is told. */
const LISTS = { switches: switchClass, relays: relay, fuses: fuse, wires: wire, connectors: connector };
export type PartsListName = keyof typeof LISTS;
export const PARTS_LISTS = Object.keys(LISTS) as PartsListName[];

export const partsSchema = z.strictObject({
  id,
  title: words(),
  kind: z.literal('parts'),
  switches: z.array(switchClass).default([]),
  relays: z.array(relay).default([]),
  fuses: z.array(fuse).default([]),
  wires: z.array(wire).default([]),
  connectors: z.array(connector).default([]),
});
export type PartsFile = z.infer<typeof partsSchema>;
export type SwitchClass = z.infer<typeof switchClass>;
export type RelayClass = z.infer<typeof relay>;
export type FuseClass = z.infer<typeof fuse>;
export type WireClass = z.infer<typeof wire>;
export type ConnectorClass = z.infer<typeof connector>;

/** All that can be bought, of all files together. */
export type Parts = Pick<PartsFile, PartsListName>;

export function* partsRules(file: PartsFile): Iterable<PartRefusal> {
  const all = PARTS_LISTS.flatMap((list) => file[list].map((part, at) => ({ list, at, part })));
  if (all.length === 0)
    yield [[], 'lists no part', `add a list of ${PARTS_LISTS.slice(0, -1).join(', ')} or connectors`];
  const seen = new Set<string>();
  for (const { list, at, part } of all) {
    if (seen.has(part.id))
      yield [[list, at, 'id'], `'${part.id}' stands twice in this file`, 'give each part its own id'];
    seen.add(part.id);
  }
  for (const [at, { carryA, breakA = carryA, inductiveA = breakA }] of file.switches.entries()) {
    if (inductiveA > breakA)
      yield [
        ['switches', at, 'inductiveA'],
        `breaks ${inductiveA} A of a motor and only ${breakA} A of a resistance`,
        `write ${breakA} or less: a motor's current is the harder one to break`,
      ];
  }
  for (const [at, { opens = [], ratedA }] of file.fuses.entries()) {
    for (const [nth, { currentA, leastS, mostS = Number.POSITIVE_INFINITY }] of opens.entries()) {
      const before = opens[nth - 1];
      const place = ['fuses', at, 'opens', nth, 'currentA'];
      if (nth === 0 && currentA <= ratedA)
        yield [place, `opens at ${currentA} A, and is rated for ${ratedA} A`, `write more than ${ratedA}`];
      if (before === undefined) continue;
      if (currentA <= before.currentA)
        yield [place, `${currentA} A stands behind ${before.currentA} A`, 'put the points in rising order'];
      else if (leastS > before.leastS || mostS > (before.mostS ?? Number.POSITIVE_INFINITY))
        yield [
          place,
          `at ${currentA} A it opens later than at ${before.currentA} A`,
          'check both points: more current opens it sooner',
        ];
    }
  }
  for (const [at, { makeA, breakA = 0 }] of file.relays.entries()) {
    if (breakA > makeA)
      yield [
        ['relays', at, 'breakA'],
        `87a bears ${breakA} A and 87 only ${makeA} A`,
        `write ${makeA} or less: 87a, the rest contact, is the weaker one`,
      ];
  }
}
