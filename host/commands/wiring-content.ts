// What the wiring sheet says: parts to lay out, wires in the order of making with what to check after each stage, and
// what must be seen before and at first power. How it is set is up to paper and terminal.

import { placeWords, positionState, wireResistanceOhm } from '../circuit/index.js';
import {
  builtInput,
  type Connection,
  type MeterCheck,
  meterChecks,
  neededWords,
  type RatingRow,
  type Ratings,
  STAGES,
  type Stage,
} from '../plan/index.js';
import { meterUncertainty } from '../probe/index.js';
import {
  type CircuitStyle,
  colourWords,
  type ResolvedUnit,
  type StyleElement,
  systemOf,
} from '../profile/index.js';
import { amount, briefly, capitalised, listed, shortly } from '../tell/index.js';
import { BUILD_TERMINALS, colourTold, POSITION_WORDS, sizeWords } from './circuit-shown.js';
import { byState, showsWords, tipsWords } from './meter-sheet.js';

export interface PartLine {
  count: string;
  what: string;
  /** What it must bear, or empty. */
  needs: string;
}

export interface WireLine {
  number: string;
  from: string;
  to: string;
  colour: string;
  size: string;
  length: string;
  ends: string;
}

export interface StageLines {
  title: string;
  wires: WireLine[];
  check: string;
}

export interface WiringContent {
  cautions: readonly string[];
  parts: PartLine[];
  stages: StageLines[];
  /** State of the bench, then tips and what they must show. */
  meter: { state: string; rows: [number: string, tips: string, shows: string][] }[];
  power: readonly string[];
  /** Position, lead A, lead B, feed current. */
  running: [string, string, string, string][];
}

const STAGE_WORDS: Record<Stage, string> = {
  links: 'Links on the switch',
  leads: 'Motor leads, motor unplugged',
  between: 'Between switches and relays',
  ground: 'Ground side',
  coils: 'Coils and the small switch',
  feed: 'Feed side, fuse out; the end at the source comes last',
};

/** Common practice, no source. */
const CAUTIONS = [
  'Supply off and taken off until the last check is ticked. The fuse goes in last.',
  'Put each fuse close to the source: it protects the wire behind it, not the motor.',
  'Crimp with the tool that fits the terminal and tug each end. A grommet in every hole through sheet metal.',
  'Mark both ends of a wire with its number before it is laid.',
  'Local codes and licensed practice decide; leave what needs a licence to those who hold it.',
];
/** What the voltages and currents that are told belong to. */
export const loadWords = (load: ResolvedUnit['load']): string =>
  load === undefined ? 'motor running free' : 'known load on its leads';

/** Lamp in place of the fuse: common practice, no source. */
const LAMP_W = 21;
const firstPower = (systemV: number, load: ResolvedUnit['load']): string[] => [
  `Clamp the motor, keep hands clear. Put a ${systemV} V ${LAMP_W} W lamp in place of the feed fuse: it lets through less than ${Math.ceil(LAMP_W / systemV)} A.`,
  'Nothing thrown: the lamp stays dark. If it glows, take it out and measure again: something draws.',
  'Thrown each way: the lamp glows and the motor turns slowly, or hums. Bright with a still motor is a short or a jam.',
  `Then the fuse. Thrown each way, the ${loadWords(load)}, to ground:`,
];

/** What the build bears; no rows where its currents are not known. */
export type BuildRated = Pick<Ratings, 'rows' | 'voltages'>;

export function wiringContent(
  unit: ResolvedUnit,
  connections: readonly Connection[],
  { rows: ratings, voltages }: BuildRated,
): WiringContent {
  const own = [...connections.filter(({ isRigOwn }) => !isRigOwn), ...smallSwitchWire(unit, connections)];
  return {
    cautions: [...voltages.map(({ sentence }) => capitalised(sentence)), ...tooSmall(ratings), ...CAUTIONS],
    parts: [...partsOf(unit, ratings), ...wiresOf(own), ...endsOf(own)],
    stages: STAGES.flatMap((stage) => stageOf(unit.style, stage, own)),
    meter: meterOf(unit),
    power: firstPower(systemOf(builtInput(unit).supply.voltageV), unit.load),
    running: runningOf(unit),
  };
}

/**
 * A style ends at the wires that the small switch throws; its own common, to ground or to the coils' supply, belongs to the
 * build all the same. As thick and as its ends are of the wires that it throws.
 */
function smallSwitchWire({ unit, style }: ResolvedUnit, connections: readonly Connection[]): Connection[] {
  const thrown = style.elements.find((element) => element.kind === 'wire' && element.role === 'trigger');
  const like = connections.find(({ id }) => id === thrown?.id);
  if (style.thrownBy !== 'trigger' || like === undefined) return [];
  const { colour: _colour, ...wire } = like;
  const isGround = style.triggerSide === 'ground';
  return [
    {
      ...wire,
      ...{ number: connections.length + 1, id: SMALL_SWITCH, title: 'common wire of the small switch' },
      ...{ stage: 'coils', fromEnd: 'crimp', toEnd: 'crimp', lengthM: unit.wiring.lengthM },
      from: isGround ? SMALL_SWITCH : 'rig.coil-feed',
      to: isGround ? 'rig.ground' : SMALL_SWITCH,
    },
  ];
}
/** No node of any style: those have no slash. */
const SMALL_SWITCH = 'small-switch/common';

/** What the build as declared does not bear comes before everything else. */
const tooSmall = (ratings: readonly RatingRow[]): string[] =>
  ratings
    .filter(({ bearing }) => bearing === 'does-not-bear')
    .map(
      (row) =>
        `${capitalised(row.title)}: does not bear what it carries${needed('; needed: ', neededWords(row))}.`,
    );
const needed = (lead: string, words: string | undefined): string =>
  words === undefined ? '' : `${lead}${words}`;

/** Where a wire ends, as one who builds calls it. */
export const builtPlace = (style: CircuitStyle, node: string): string =>
  node === SMALL_SWITCH ? 'common of the small switch' : (BUILD_TERMINALS[node] ?? placeWords(style, node));

function partsOf({ style, relay }: ResolvedUnit, ratings: readonly RatingRow[]): PartLine[] {
  const own = style.elements.filter(({ rigOwn }) => rigOwn === undefined);
  const relays = own.filter(({ kind }) => kind === 'relay');
  const needsOf = (kinds: readonly RatingRow['kind'][], { of }: { of?: string } = {}): string => {
    const needed = ratings
      .filter((row) => kinds.includes(row.kind) && (of === undefined || row.of.includes(of)))
      .map((row) => ({ title: row.title, words: neededWords(row) ?? 'not known' }));
    // Both contacts of a relay ask for the same one, or each for its own.
    const isSame = new Set(needed.map(({ words }) => words)).size <= 1;
    return isSame
      ? (needed[0]?.words ?? '')
      : needed.map(({ title, words }) => `${title} ${words}`).join('; ');
  };
  const fuses = ratings.filter(({ kind }) => FUSES.includes(kind));
  return [
    ...own.flatMap((element) =>
      element.kind === 'switch'
        ? [
            {
              count: '1',
              what: capitalised(element.title ?? element.id),
              needs: switchWords(element, needsOf(['switch'], { of: element.id })),
            },
          ]
        : [],
    ),
    ...(relays.length === 0
      ? []
      : [
          {
            count: `${relays.length}`,
            what: `${relay?.title ?? 'Relay'} with socket: ${listed(relays.map(({ id, title }) => title ?? id))}`,
            needs: needsOf(['make', 'break']),
          },
        ]),
    ...(style.thrownBy === 'trigger'
      ? [{ count: '1', what: 'Small switch that throws the relays', needs: needsOf(['small-switch']) }]
      : []),
    ...fuses.map((row) => ({
      count: '1',
      what: `${capitalised(row.title)}, with holder`,
      needs:
        row.isDeclared && row.rated !== undefined
          ? shortly(row.rated, 'A')
          : (neededWords(row) ?? 'none found that bears it'),
    })),
    ...own.flatMap((element) =>
      element.title !== undefined && OTHERS.includes(element.kind)
        ? [{ count: '1', what: capitalised(element.title), needs: '' }]
        : [],
    ),
  ];
}
const FUSES: readonly RatingRow['kind'][] = ['feed', 'coil-feed', 'fuse'];
const OTHERS: readonly StyleElement['kind'][] = ['resistor', 'capacitor', 'diode', 'clamp'];

const switchWords = ({ poles }: Extract<StyleElement, { kind: 'switch' }>, needs: string): string =>
  [`${poles.length} ${poles.length === 1 ? 'pole' : 'poles'}`, needs]
    .filter((text) => text !== '')
    .join('; ');

/** Metres of each size and colour, as much as is laid out, nothing for waste. */
function wiresOf(connections: readonly Connection[]): PartLine[] {
  const metres = new Map<string, number>();
  for (const wire of connections) {
    const what = ['Wire', sizeWords(wire), colourTold(wire.colour)].join(' ').trim();
    metres.set(what, (metres.get(what) ?? 0) + wire.lengthM);
  }
  return [...metres].map(([what, lengthM]) => ({ count: amount(lengthM, 'm', 1), what, needs: '' }));
}

function endsOf(connections: readonly Connection[]): PartLine[] {
  const crimped = connections
    .flatMap(({ fromEnd, toEnd }) => [fromEnd, toEnd])
    .filter((end) => end === 'crimp');
  return crimped.length === 0
    ? []
    : [
        {
          count: `${crimped.length}`,
          what: 'Crimped ends: receptacles, rings, splices, plug contacts',
          needs: 'to fit wire and post',
        },
      ];
}

function stageOf(style: CircuitStyle, stage: Stage, connections: readonly Connection[]): StageLines[] {
  const wires = connections.filter((wire) => wire.stage === stage);
  if (wires.length === 0) return [];
  const which = `${numbersTold(wires.map(({ number }) => number))}${wires.length === 1 ? '' : ', each'}`;
  return [
    {
      title: STAGE_WORDS[stage],
      wires: wires.map((wire) => ({
        number: `(${wire.number})`,
        from: builtPlace(style, wire.from),
        to: builtPlace(style, wire.to),
        colour: wire.colour === undefined ? '' : `${wire.colour} ${colourWords(wire.colour)}`,
        size: sizeWords(wire),
        length: amount(wire.lengthM, 'm', 2),
        ends: wire.fromEnd === wire.toEnd ? wire.fromEnd : `${wire.fromEnd}, ${wire.toEnd}`,
      })),
      check: `Check: ${which} end to end at most ${amount(mostOhm(wires), 'Ohm', 1)} on the meter, at the marks named; tug each end.`,
    },
  ];
}

/** `(3)`, `(6) and (7)`, `(6) to (10) and (14)`. @param numbers in rising order */
function numbersTold(numbers: readonly number[]): string {
  const rows: { from: number; to: number }[] = [];
  for (const number of numbers) {
    const row = rows.at(-1);
    if (row !== undefined && row.to === number - 1) row.to = number;
    else rows.push({ from: number, to: number });
  }
  return listed(
    rows.flatMap(({ from, to }) =>
      to - from < 2 ? [...new Set([from, to])].map((each) => `(${each})`) : [`(${from}) to (${to})`],
    ),
  );
}

/** Copper at 20 °C with what a hand meter and its leads may add: two standard uncertainties. */
function mostOhm(wires: readonly Connection[]): number {
  const ohms = wires.map(({ size, lengthM }) => wireResistanceOhm({ ...size, lengthM, temperatureC: 20 }));
  const most = Math.max(...ohms);
  return most + 2 * meterUncertainty('ohms', most);
}

function meterOf(unit: ResolvedUnit): WiringContent['meter'] {
  let number = 0;
  const asBuilt = ({ reading, ...check }: MeterCheck): MeterCheck => {
    const place = <P extends { id: string; words: string }>(of: P): P => ({
      ...of,
      words: BUILD_TERMINALS[of.id] ?? of.words,
    });
    return { ...check, reading: { ...reading, from: place(reading.from), to: place(reading.to) } };
  };
  return byState(meterChecks(unit).checks).map(({ state, checks }) => ({
    state: capitalised(state),
    rows: checks.map((check): [string, string, string] => {
      number++;
      return [`${number}`, tipsWords(asBuilt(check)), showsWords(check.reading.range, check.shows)];
    }),
  }));
}

function runningOf(unit: ResolvedUnit): WiringContent['running'] {
  const input = builtInput(unit);
  return (['rest', 'forward', 'reverse'] as const)
    .filter((position) => position === 'rest' || unit.style.polarity[position] !== 'none')
    .map((position) => {
      const { voltageV, feedCurrentA } = positionState(input, position);
      const volts = (node: string): string => amount(voltageV[node] ?? Number.NaN, 'V', 1);
      return [
        POSITION_WORDS[position],
        `lead A ${volts('rig.motor-a')}`,
        `lead B ${volts('rig.motor-b')}`,
        `feed ${briefly(Math.abs(feedCurrentA), 'A')}`,
      ];
    });
}
