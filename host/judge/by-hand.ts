// When a person threw the switch: what a hand may have done is not the unit's fault. A throw to the other side reads
// like exchanged leads, a throw that was not made like an open trigger; both are said, neither is failed.

import { atStart, type QuantityName, REST, type RunStretch, runStretch } from '../measure/index.js';
import { lowered } from '../tell/index.js';
import { untested } from './check.js';
import { type CheckContext, expectedOf, seenOf } from './checks/context.js';
import { isPolarity } from './checks/drive.js';
import type { Check, Finding } from './verdict.js';

/** Between the leads of a motor that is driven at all, V. */
const DRIVEN_V = 1;
/** Of what a good unit gives: a motor that gets more is driven, whichever way. Choice of this program, no source. */
const DRIVEN_PART = 0.5;
/** Through the limited feed about 1 A flows. */
const LIMITED_FLOWS_A = 0.3;
/** What a throw moves at the least: as the bench itself watches for it. */
const LEAST_MOVES: readonly (readonly [QuantityName, number])[] = [
  ['leadAVoltageV', 0.35],
  ['leadBVoltageV', 0.35],
  ['motorCurrentA', 0.3],
  ['feedCurrentA', 0.35],
  ['coilCurrentA', 0.02],
];

type Doubt = 'other-way' | 'other-way-once' | 'nothing';
interface Doubted {
  of: RunStretch;
  doubt: Doubt;
}

/** `checks` with those that a hand may have caused taken back; as they are for a switch that the rig threw. */
export function forHand(context: CheckContext, checks: readonly Check[]): Check[] {
  const doubts = doubtsOf(context);
  if (doubts.length === 0) return [...checks];
  const missed = doubts.some(({ doubt }) => doubt === 'nothing');
  return checks.map((check) => {
    const { kind, outcome, throw: thrown } = check;
    if (outcome !== 'fail') return check;
    // Of both ways together, and thrown by the same hand.
    if (thrown === undefined) return kind.isOfWay || (kind.comparesWays && missed) ? untested(check) : check;
    const found = doubts.find(({ of }) => of.id === thrown.id);
    if (found === undefined) return check;
    if (isPolarity(check)) return { ...untested(check, toldOf(context, found, doubts, check)), of: 'hand' };
    return found.doubt === 'nothing' || kind.isOfWay ? untested(check) : check;
  });
}

/** `findings` with the hand named beside what it cannot be told from. */
export function findingsForHand(context: CheckContext, findings: readonly Finding[]): Finding[] {
  const doubts = doubtsOf(context);
  const [first, ...others] = findings;
  if (doubts.length === 0 || first === undefined) return [...findings];
  const isOther = doubts.some(({ doubt }) => doubt !== 'nothing');
  const id = isOther ? 'thrown-the-other-way' : 'not-thrown';
  const hand = isOther ? 'the switch was thrown to the other side' : 'the switch was not thrown';
  const probe = isOther
    ? 'Look which side of the switch is which and throw again.'
    : 'Throw again, and hold it until you are told to let go.';
  return [
    {
      ...first,
      sentence: `${first.sentence} These readings are the same when ${hand}.`,
      nextProbe: `${probe} If it reads the same: ${lowered(first.nextProbe)}`,
      inseparable: [...(first.inseparable ?? []), id],
    },
    ...others,
  ];
}

/** Throws that a hand may be to blame for. */
function doubtsOf(context: CheckContext): Doubted[] {
  if (context.unit.plan.throwBy !== 'operator') return [];
  return context.expectation.throws.flatMap(({ of }): Doubted[] => {
    const expected = expectedOf(context, 'motorVoltageV', of)?.nominal ?? 0;
    const voltage = seenOf(context, 'motorVoltageV', of)?.value;
    if (voltage === undefined || Math.abs(expected) < DRIVEN_V) return [];
    if (showsNothing(context, of, voltage)) return [{ of, doubt: 'nothing' }];
    const isDriven = Math.abs(voltage) > DRIVEN_PART * Math.abs(expected);
    if (!isDriven || voltage > 0 === expected > 0) return [];
    const limited = seenOf(context, 'motorCurrentA', runStretch('limited', of.position))?.value ?? 0;
    const wasRight = Math.abs(limited) > LIMITED_FLOWS_A && limited > 0 === expected > 0;
    return [{ of, doubt: wasRight ? 'other-way-once' : 'other-way' }];
  });
}

function showsNothing(context: CheckContext, of: RunStretch, voltageV: number): boolean {
  const moves = LEAST_MOVES.flatMap(([what, leastMove]) => {
    const [thrown, rest] = [seenOf(context, what, of), seenOf(context, what, REST)];
    return thrown && rest ? [Math.abs(thrown.value - rest.value) > leastMove] : [];
  });
  // At rest both leads stand alike: without a rest to compare with, what stands between them was thrown.
  return moves.length > 0 ? !moves.includes(true) : Math.abs(voltageV) < DRIVEN_V;
}

function toldOf(
  context: CheckContext,
  { of, doubt }: Doubted,
  doubts: readonly Doubted[],
  { sentence }: Check,
): string {
  if (doubt === 'nothing')
    return `${atStart(of)}: nothing changed when the switch was to be thrown: it was not thrown, or nothing of it gets through to coil or leads.`;
  if (doubt === 'other-way-once')
    return `${sentence} With the limited feed it went the right way, so this time the switch was thrown to the other side.`;
  return context.expectation.throws.length > 1 && doubts.length > 1
    ? `${sentence} Leads exchanged, or each time the other side of the switch was thrown: the readings are the same.`
    : `${sentence} Both ways the same: a fault, or the same side of the switch was thrown both times.`;
}
