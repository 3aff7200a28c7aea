// The hand meter: volts to ground during a throw, ohms and the diode range with the power off.

import { elementWords } from '../circuit/index.js';
import { COST_MIN } from '../diagnose/index.js';
import type { ResolvedUnit } from '../profile/index.js';
import { WAYS } from './bench-of.js';
import type { Range } from './hand-meter.js';
import { type Place, placesOf } from './place.js';
import type { Expected, Probe } from './probe.js';

/** A meter that a person reads as open or not open, and errs now and then. Choice of this program, no source. */
const SURE = 0.95;

const volts = { kind: 'number', range: 'volts' } as const;
const ohms = { kind: 'number', range: 'ohms' } as const;

export function meterProbes(unit: ResolvedUnit): Probe[] {
  return [...duringThrow(unit), ...onRelays(unit), ...onHarness(unit), ...onMotor(unit)];
}

const duringThrow = ({ style }: ResolvedUnit): Probe[] =>
  placesOf(style).flatMap((place) =>
    WAYS.map(
      (way): Probe => ({
        id: `volts-${place.id}-${way}`,
        does: 'meter',
        where: [place],
        state: 'thrown',
        way,
        costMin: COST_MIN.meterThrown,
        takes: volts,
        words: `Throw ${way} and measure ${place.words} to ground`,
        expect: ({ bench }) => ({ value: bench.thrown(way).volts.get(place.id) ?? 0 }),
      }),
    ),
  );

function onRelays({ style }: ResolvedUnit): Probe[] {
  const places = placesOf(style);
  return style.elements.flatMap((relay): Probe[] => {
    if (relay.kind !== 'relay') return [];
    const words = elementWords(relay);
    const pulled = (
      mark: readonly [string, string],
      range: Range,
      told: string,
      expect: Probe['expect'],
    ): Probe => ({
      id: `${range}-${relay.id}-${mark.join('-')}`,
      does: 'meter',
      where: places.filter(
        ({ at }) => at.kind === 'terminal' && at.part === relay.id && mark.includes(at.mark),
      ),
      state: 'unplugged',
      costMin: COST_MIN.meterPulled,
      takes: { kind: 'number', range },
      words: `Outputs off, pull ${words} and ${told}`,
      expect,
    });
    const between = ([one, two]: readonly [string, string]): Probe =>
      pulled([one, two], 'ohms', `measure it from ${one} to ${two}`, ({ bench }) => ({
        value: bench.relayOhm(relay.id, one, two),
      }));
    const pairs = (
      [
        ['86', '85'],
        ['30', '87a'],
        ['30', '87'],
      ] as const
    ).filter((marks) => marks.every((mark) => relay.terminals[mark] !== undefined));
    const diode = (
      [
        ['85', '86'],
        ['86', '85'],
      ] as const
    ).map(([plus, minus]) =>
      pulled(
        [plus, minus],
        'diode',
        `measure in the diode range, plus on ${plus}, minus on ${minus}`,
        ({ bench }) => ({
          value: bench.relayDiodeV(relay.id, plus, minus),
        }),
      ),
    );
    return [...pairs.map(between), ...diode];
  });
}

/** Wires from end to end, and the leads to ground and to the feed. */
function onHarness({ style, load }: ResolvedUnit): Probe[] {
  if (!style.elements.some(({ kind }) => kind === 'motor')) return [];
  const what = load === undefined ? 'motor' : 'load';
  const places = new Map(placesOf(style).map((place) => [place.id, place]));
  const measured = (from: Place, to: Place | undefined): Probe => ({
    id: `ohms-${from.id}-${to === undefined ? 'ground' : to.id}`,
    does: 'meter',
    where: to === undefined ? [from] : [from, to],
    state: 'unplugged',
    costMin: COST_MIN.meterOff,
    takes: ohms,
    words: `Outputs off, unplug the ${what} and measure from ${from.words} to ${to === undefined ? 'ground' : to.words}`,
    expect: ({ bench }) => ({ value: bench.harnessOhm(from, to ?? 'ground') }),
  });
  const pairs = style.elements.flatMap((element) => {
    if (element.kind !== 'wire') return [];
    const [a, b] = [places.get(element.a), places.get(element.b)];
    if (a === undefined && b !== undefined) return [measured(b, undefined)];
    return a === undefined ? [] : [measured(a, b)];
  });
  const [leadA, leadB] = [places.get('rig.lead-a'), places.get('rig.lead-b')];
  const feed = places.get('rig.feed');
  const leads = [leadA, leadB].flatMap((lead) =>
    lead === undefined
      ? []
      : [measured(lead, undefined), ...(feed === undefined ? [] : [measured(lead, feed)])],
  );
  const known = new Set(pairs.map(({ id }) => id));
  return [...pairs, ...leads.filter(({ id }) => !known.has(id))];
}

/** A motor's winding is some ohms with a brush film of 1 to 20 Ohm on top: open or not is all that a hand meter tells. */
function onMotor({ style, unit, load }: ResolvedUnit): Probe[] {
  if (!style.elements.some(({ kind }) => kind === 'motor') || unit.subject === 'harness') return [];
  const what = load === undefined ? 'motor' : 'load';
  const isOpen = (ohm: number): Expected => ({ yes: ohm === Number.POSITIVE_INFINITY ? SURE : 1 - SURE });
  const reads = (id: string, words: string, expect: Probe['expect']): Probe => ({
    id,
    does: 'meter',
    where: [],
    state: 'unplugged',
    costMin: COST_MIN.meterOff,
    takes: { kind: 'answer' },
    words: `Outputs off, unplug the ${what} and measure at its terminals ${words}: does it read open?`,
    expect,
  });
  return [
    reads('motor-open', 'from lead to lead', ({ bench }) => isOpen(bench.motorOhm('a', 'lead'))),
    reads('motor-a-case', 'from lead A to its case', ({ bench }) => isOpen(bench.motorOhm('a', 'case'))),
  ];
}
