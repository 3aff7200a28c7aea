// Which parts of a measured run are worth enlarging, and the names that its leads have there: of a motor each start
// and release and the edges of its contacts; of a relay alone operate and release with the armature's mark.

import type { Capture, Channel } from '../capture/index.js';
import { capitalised } from '../tell/index.js';
import { type ChartRequest, chartSvg } from './chart-svg.js';
import type { Detail, DetailMark } from './details.js';
import type { Labels } from './panels.js';
import { type Stretch, stretchesOf, type ThrowWords } from './stretches.js';

export interface RunPicture extends Omit<ChartRequest, 'details' | 'labels' | 'words'> {
  /** A relay by itself: its terminals, not a motor's leads. */
  isRelayAlone: boolean;
  /** Readings of the run by their key, where it was judged; the times of a relay's contacts are marked. */
  measured?: Readonly<Record<string, { value: number }>>;
}

/** How much is shown from the command on, and of what lies before it: inrush and run-down last tenths of a second. */
const START = { beforeS: 0.01, afterS: 0.2 };
/** Contacts: operate 1 to 10 ms, bounce some milliseconds more (relay data sheets, common practice). */
const EDGE = { beforeS: 0.002, afterS: 0.025 };
/** The armature's flight takes a millisecond or two. */
const DIP = { beforeS: 0.004, afterS: 0.004 };
const LETTERS = 'abcdefghijkl';
/** A throw each way; what is thrown again repeats them. */
const MOST_THROWS = 2;

/** Clips of the relay-alone circuit: lead A on 87, lead B on 30; what flows through the motor shunt flows from 87 to 87a. */
const RELAY_LABELS: Labels = {
  leadAVoltageV: '87 (lead A)',
  leadBVoltageV: '30 (lead B), 86 while the supply is turned',
  motorCurrentA: 'through 87',
  feedCurrentA: 'load, through 30',
  coilCurrentA: 'coil, 85 to 86',
} satisfies Partial<Record<Channel, string>>;

/** Forward is the whole supply on the coil; reverse is a test current that moves nothing. */
const RELAY_WORDS: ThrowWords = {
  name: 'coil',
  of: { rest: 'off', forward: 'on', reverse: 'test' },
};

/** The picture of a measured run, with details where it stands alone. */
export function runPicture({ isRelayAlone, measured = {}, ...request }: RunPicture): string {
  const stretches = stretchesOf(request.capture);
  const enlarged = isRelayAlone
    ? relayDetails(stretches, request.capture, measured)
    : motorDetails(stretches, request.capture);
  return chartSvg({
    ...request,
    details: request.isWithinPage ? [] : enlarged,
    ...(isRelayAlone ? { labels: RELAY_LABELS, words: RELAY_WORDS } : {}),
  });
}

interface Throw extends Stretch {
  /** What comes behind it, so that a release is shown only where samples of it are. */
  next: Stretch | undefined;
}

function throwsOf(stretches: readonly Stretch[]): Throw[] {
  return stretches.flatMap((stretch, i) =>
    stretch.position === 'rest' ? [] : [{ ...stretch, next: stretches[i + 1] }],
  );
}

/** The first throw each way with the full feed; with the limited one where a run got no further. */
function throwsShown(stretches: readonly Stretch[]): Throw[] {
  const all = throwsOf(stretches);
  const full = all.filter(({ feed }) => feed === 'full');
  const able = full.length > 0 ? full : all;
  return able
    .filter(({ position }, i) => able.findIndex((other) => other.position === position) === i)
    .slice(0, MOST_THROWS);
}

function motorDetails(stretches: readonly Stretch[], { channels }: Pick<Capture, 'channels'>): Detail[] {
  const panels = ['Current', 'Voltage to ground'] as const;
  return lettered(
    throwsShown(stretches).flatMap(({ position, feed, fromS, toS, next }) => {
      const way = `${capitalised(position)}${feed === 'limited' ? ', limited feed' : ''}`;
      const isSampled = channels.motorCurrentA !== undefined || channels.feedCurrentA !== undefined;
      const shown = isSampled ? panels : (['Voltage to ground'] as const);
      const start = (title: string, zeroS: number, window: typeof START) => ({
        title: `${way}: ${title}`,
        ...{ zeroS, fromS: zeroS - window.beforeS, toS: zeroS + window.afterS, panels: shown },
      });
      return [
        start('start', fromS, START),
        start('contacts close', fromS, EDGE),
        ...(next ? [start('release', toS, START), start('contacts open', toS, EDGE)] : []),
      ];
    }),
  );
}

/** Readings of a relay are times from coil on, and from coil off, as a mean over the cycles. */
const OPERATE_MARKS: readonly (readonly [key: string, text: string])[] = [
  ['dipS', 'armature'],
  ['operateOpensS', '30-87a opens'],
  ['operateS', '30-87 closes'],
];
const RELEASE_MARKS: readonly (readonly [key: string, text: string])[] = [
  ['releaseRiseS', 'armature'],
  ['releaseOpensS', '30-87 opens'],
  ['releaseS', '30-87a closes'],
];

function relayDetails(
  stretches: readonly Stretch[],
  { channels }: Pick<Capture, 'channels'>,
  measured: Readonly<Record<string, { value: number }>>,
): Detail[] {
  const cycle = throwsOf(stretches).find(({ position, feed }) => position === 'forward' && feed === 'full');
  if (cycle === undefined) return [];
  const panels = [
    ...(channels.coilCurrentA === undefined ? [] : (['Coil current'] as const)),
    'Voltage to ground' as const,
  ];
  const detail = (title: string, zeroS: number, marks: typeof OPERATE_MARKS) => ({
    title,
    ...{ zeroS, fromS: zeroS - EDGE.beforeS, toS: zeroS + EDGE.afterS, panels },
    marks: marks.flatMap(([key, text]): DetailMark[] => {
      const value = measured[key]?.value;
      return value === undefined ? [] : [{ atS: zeroS + value, text }];
    }),
  });
  const dipS = measured.dipS?.value;
  return lettered([
    detail('Coil on: operate', cycle.fromS, OPERATE_MARKS),
    ...(dipS === undefined || channels.coilCurrentA === undefined ? [] : [armature(cycle.fromS, dipS)]),
    ...(cycle.next ? [detail('Coil off: release', cycle.toS, RELEASE_MARKS)] : []),
  ]);
}

/** The dip of the coil current while the armature moves, close up. */
const armature = (zeroS: number, dipS: number): Omit<Detail, 'letter'> => ({
  title: "The armature's mark",
  ...{ zeroS, fromS: zeroS + dipS - DIP.beforeS, toS: zeroS + dipS + DIP.afterS },
  panels: ['Coil current'],
  marks: [{ atS: zeroS + dipS, text: 'armature' }],
  isTight: true,
});

const lettered = (details: readonly Omit<Detail, 'letter'>[]): Detail[] =>
  details.map((detail, i) => ({ letter: LETTERS[i] ?? '', ...detail }));
