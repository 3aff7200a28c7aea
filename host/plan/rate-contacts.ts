// Switches and relay contacts.

import { USUAL_SYSTEM_V } from '../profile/index.js';
import { amount, listed, shortly } from '../tell/index.js';
import { AS_SOLVED, bearingOf, demandOf, marginOf } from './demand.js';
import type { Bearing, Build, Demand, PlannedPart, RatingRow } from './rating-row.js';
import { asSuggested, relayRange, smallestRelay, smallestSwitch } from './suggest.js';

/** One sheet lets a 20 A rest contact take 40 A for a moment and a 35 A make contact 120 A: the safer ratio for both. */
const PEAK_RATIO = 2;
const NUMBER = { make: '87', break: '87a' } as const;

/** Each switch of the style by itself, or the small one that throws its relays. */
export function switchRows(
  parts: readonly PlannedPart[],
  { switchA, parts: list, systemV }: Build,
): RatingRow[] {
  const own = parts.filter(({ carrier: { kind } }) => kind === 'switch' || kind === 'small-switch');
  return [...new Set(own.map(({ carrier }) => carrier.part))].flatMap((part): RatingRow[] => {
    const contacts = own.filter(({ carrier }) => carrier.part === part);
    const [first] = contacts;
    if (first === undefined) return [];
    const demand = demandOf(contacts);
    const { runningA, startA } = demand.most;
    const isSmall = first.carrier.kind === 'small-switch';
    const smallest = smallestSwitch(list.switches, demand);
    const row = {
      kind: first.carrier.kind,
      title: first.carrier.title,
      of: isSmall ? [] : [part],
      demand,
      rule: 'rated for more than it carries while the motor runs',
      source: 'common practice, no source',
      needs: `above ${amount(runningA, 'A', 1)}${atVoltage(systemV)}`,
      ...(smallest === undefined ? {} : { suggested: [asSuggested(smallest)] }),
      notes: isSmall
        ? [
            'it carries the coils only: 3 to 5 A is usual, with a fuse of its own that is no larger than the switch (common practice, no source).',
          ]
        : [],
    };
    const carriesA = switchA ?? smallest?.carryA;
    const starts =
      carriesA !== undefined && startA > carriesA
        ? [
            `it makes ${amount(startA, 'A', 1)} at each start: its sheet must allow motors, not lamps or heaters alone.`,
          ]
        : [];
    const none =
      smallest === undefined ? [`no switch on the list of parts bears this${atVoltage(systemV)}.`] : [];
    if (switchA === undefined)
      return [{ ...row, isDeclared: false, bearing: 'not-known', notes: [...row.notes, ...none, ...starts] }];
    const bearing = bearingOf(switchA, demand.least.runningA, runningA);
    return [
      {
        ...row,
        rated: switchA,
        isDeclared: true,
        capacity: switchA,
        marginPercent: marginOf(switchA, runningA),
        bearing,
        notes: [
          ...row.notes,
          ...(bearing === 'bears' ? [] : none),
          ...(isHigh(systemV)
            ? [
                `its sheet must tell ${shortly(switchA, 'A')}${atVoltage(systemV)}: told for 12 V, it opens less.`,
              ]
            : []),
          ...starts,
          ...heldNote(demand, switchA),
        ],
      },
    ];
  });
}

/** Make contacts of all relays together, and rest contacts. */
export function relayRows(parts: readonly PlannedPart[], build: Build): RatingRow[] {
  const kinds = (['make', 'break'] as const).flatMap((kind) => {
    const contacts = parts.filter(({ carrier }) => carrier.kind === kind);
    return contacts.length === 0 ? [] : [{ kind, contacts, demand: demandOf(contacts) }];
  });
  // Both contacts are those of one relay.
  const smallest = smallestRelay(
    build.parts.relays,
    Object.fromEntries(kinds.map(({ kind, demand }) => [kind, neededA(demand)])),
  );
  return kinds.map(({ kind, contacts, demand }): RatingRow => {
    const declaredA = kind === 'make' ? build.makeA : build.breakA;
    const range = relayRange(build.parts, kind);
    const rated = declaredA ?? range?.leastA;
    const { runningA } = demand.most;
    const relays = [...new Set(contacts.map(({ carrier }) => carrier.part.toUpperCase()))];
    const option = `--${kind}-a`;
    const bearing = relayBearing(range, demand, declaredA);
    const none =
      smallest === undefined ? [`no relay on the list of parts bears this${atVoltage(build.systemV)}.`] : [];
    return {
      kind,
      title: `30-${NUMBER[kind]} of ${listed(relays)}`,
      of: [...new Set(contacts.map(({ carrier }) => carrier.part))],
      demand,
      ...(rated === undefined ? {} : { rated, capacity: rated, marginPercent: marginOf(rated, runningA) }),
      isDeclared: declaredA !== undefined,
      bearing,
      rule: `rated for more than it carries while the motor runs; start and brake at most ${PEAK_RATIO} times that for a moment`,
      source:
        declaredA === undefined
          ? range === undefined
            ? `no relay on the list of parts is for ${shortly(build.systemV ?? USUAL_SYSTEM_V, 'V')}: ${option} tells what yours bears`
            : `${range.isPublished ? 'published sheets of plug-in relays say' : 'relays on the list of parts have'} ${range.leastA} to ${range.mostA} A on ${NUMBER[kind]}: the least is taken, ${option} tells better`
          : 'rating as declared; momentary current after one published sheet',
      needs: `above ${amount(neededA(demand), 'A', 1)}${atVoltage(build.systemV)}`,
      ...(smallest === undefined ? {} : { suggested: [asSuggested(smallest)] }),
      notes: [
        ...(rated === undefined ? [] : [...peakNote(demand, rated), ...heldNote(demand, rated)]),
        ...(bearing === 'bears' ? [] : none),
      ],
    };
  });
}

const isHigh = (systemV: number | undefined): boolean => systemV !== undefined && systemV > USUAL_SYSTEM_V;
/** Of which nobody need speak at the usual voltage. */
const atVoltage = (systemV: number | undefined): string =>
  isHigh(systemV) ? ` at ${shortly(systemV ?? USUAL_SYSTEM_V, 'V')}` : '';

const peakOf = ({ most }: Demand): number => Math.max(most.startA, most.brakeA);
const neededA = (demand: Demand): number => Math.max(demand.most.runningA, peakOf(demand) / PEAK_RATIO);

function relayBearing(
  range: { leastA: number; mostA: number } | undefined,
  demand: Demand,
  declaredA: number | undefined,
): Bearing {
  const { leastA, mostA } = range ?? { leastA: 0, mostA: Number.POSITIVE_INFINITY };
  const { least, most } = demand;
  // Of an unknown relay only what the best and the worst on sale have in common is certain.
  const runs =
    declaredA === undefined
      ? leastA > AS_SOLVED * most.runningA
        ? 'bears'
        : mostA <= least.runningA
          ? 'does-not-bear'
          : 'not-known'
      : bearingOf(declaredA, least.runningA, most.runningA);
  // Beyond the published moment nobody says that it fails, nor that it lasts.
  return runs === 'bears' && peakOf(demand) > PEAK_RATIO * (declaredA ?? leastA) ? 'not-known' : runs;
}

const peakNote = (demand: Demand, ratedA: number): string[] =>
  peakOf(demand) > PEAK_RATIO * ratedA
    ? [
        `start or brake puts ${amount(peakOf(demand), 'A', 1)} on it for a moment, more than twice ${shortly(ratedA, 'A')}.`,
      ]
    : [];

const heldNote = ({ most: { heldA } }: Demand, ratedA: number): string[] =>
  heldA > AS_SOLVED * ratedA
    ? [
        `with the motor held it carries ${amount(heldA, 'A', 1)}, more than its ${shortly(ratedA, 'A')}, until something opens: do not lean on the switch at the end of travel.`,
      ]
    : [];
