// What a hand exchanges or pulls: a relay with its twin, the motor's plug; and a lamp held to a terminal.

import { elementWords } from '../circuit/index.js';
import { COST_MIN } from '../diagnose/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { type BenchOf, type Thrown, WAYS, type Way } from './bench-of.js';
import { placesOf } from './place.js';
import type { Probe } from './probe.js';

/** A person sees what moves, and errs now and then. Choice of this program, no source. */
const SURE = 0.95;
/** By so much the motor's current goes the other way round when a fault has moved along: a motor that runs or not. */
const MOVED_A = 0.5;
/** What a limited feed gives into a short is well above this; a harness without its motor takes next to nothing. */
const TAKEN_A = 0.3;

const chance = (isYes: boolean) => ({ yes: isYes ? SURE : 1 - SURE });

export function swapProbes({ style, load }: ResolvedUnit): Probe[] {
  const [one, two] = style.elements.filter((element) => element.kind === 'relay');
  const hasMotor = style.elements.some(({ kind }) => kind === 'motor');
  const what = load === undefined ? 'motor' : 'load';
  const answer = { where: [], takes: { kind: 'answer' }, state: 'thrown' } as const;
  const exchange: Probe[] =
    one === undefined || two === undefined
      ? []
      : [
          {
            ...answer,
            id: `exchange-${one.id}-${two.id}`,
            does: 'exchange',
            costMin: COST_MIN.exchange,
            words: `Outputs off, exchange ${elementWords(one)} and ${elementWords(two)}, throw each way, put them back: did the fault move with the relay?`,
            expect: ({ bench }) => chance(isMoved(bench, one.id, two.id)),
          },
        ];
  const unplug = WAYS.map(
    (way): Probe => ({
      ...answer,
      id: `unplug-${way}`,
      does: 'unplug',
      way,
      costMin: COST_MIN.unplug,
      words: `Outputs off, unplug the ${what}, throw ${way} through the limited feed, plug it on again: did it still take current?`,
      expect: ({ bench }) => chance(Math.abs(bench.unplugged(way).feedCurrentA) > TAKEN_A),
    }),
  );
  const lamp = placesOf(style).flatMap((place) =>
    WAYS.map(
      (way): Probe => ({
        ...answer,
        id: `lamp-${place.id}-${way}`,
        does: 'lamp',
        where: [place],
        way,
        costMin: COST_MIN.lamp,
        words: `Test lamp from ${place.words} to ground, throw ${way}: is it bright?`,
        expect: ({ bench }) => chance(mayLight(bench, place.id, way) && bench.isLampBright(place, way)),
        nearly: ({ bench }) => chance(mayLight(bench, place.id, way)),
      }),
    ),
  );
  return [...exchange, ...(hasMotor ? unplug : []), ...lamp];
}

/** A lamp only pulls down what stands there without it; a volt of the system. */
const LEAST_LIT_V = 6 / 12;
const mayLight = (bench: BenchOf, place: string, way: Way): boolean =>
  (bench.thrown(way).volts.get(place) ?? 0) >= LEAST_LIT_V * bench.systemV;

function isMoved(bench: BenchOf, one: string, two: string): boolean {
  const differs = (a: Thrown, b: Thrown): boolean => Math.abs(a.motorCurrentA - b.motorCurrentA) > MOVED_A;
  return WAYS.some((way) => differs(bench.thrown(way), bench.exchanged(one, two, way)));
}
