// When a person threw the switch: what a hand may have done is not the unit's fault. A throw to the other side reads
// like exchanged leads, a throw that was not made like an open trigger; both are said, neither is failed.

import { type CheckContext, quantityIn } from './checks/context.js';
import type { Check, Finding } from './verdict.js';
import { throwWords } from './words.js';

/** Between the leads of a motor that is driven at all, V. */
const DRIVEN_V = 1;
/** What a throw moves at the least: as the bench itself watches for it. */
const LEAST_MOVES = [
  ['LeadAVoltageV', 0.35],
  ['LeadBVoltageV', 0.35],
  ['MotorCurrentA', 0.3],
  ['FeedCurrentA', 0.35],
  ['CoilCurrentA', 0.02],
] as const;

type Doubt = 'other-way' | 'other-way-once' | 'nothing';

/** `checks` with those that a hand may have caused taken back; as they are for a switch that the rig threw. */
export function forHand(context: CheckContext, checks: readonly Check[]): Check[] {
  const doubts = doubtsOf(context);
  if (doubts.size === 0) return [...checks];
  return checks.map((check) => {
    if (check.outcome !== 'fail') return check;
    if (check.id === 'symmetry' && [...doubts.values()].includes('nothing'))
      return taken(check, check.sentence);
    // Of both ways together, and thrown by the same hand.
    if (check.id === 'envelope-limited') return taken(check, check.sentence);
    const found = [...doubts].find(([name]) => check.id.endsWith(`-${name.replace(/(\d+)$/, '-$1')}`));
    if (found === undefined) return check;
    const [name, doubt] = found;
    if (check.id.startsWith('polarity-')) return taken(check, toldOf(context, name, doubt, check));
    if (doubt === 'nothing' || /^(?:return-lead|envelope)-/.test(check.id))
      return taken(check, check.sentence);
    return check;
  });
}

/** `findings` with the hand named beside what it cannot be told from. */
export function findingsForHand(context: CheckContext, findings: readonly Finding[]): Finding[] {
  const doubts = new Set(doubtsOf(context).values());
  const [first, ...others] = findings;
  if (doubts.size === 0 || first === undefined) return [...findings];
  const isOther = doubts.has('other-way') || doubts.has('other-way-once');
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

/** Throws that a hand may be to blame for, by the throw's name. */
function doubtsOf(context: CheckContext): Map<string, Doubt> {
  const doubts = new Map<string, Doubt>();
  if (context.unit.plan.throwBy !== 'operator') return doubts;
  for (const { name } of context.expectation.throws) {
    const expected = context.expectation.features[`${name}MotorVoltageV`]?.nominal ?? 0;
    const voltage = quantityIn(context, `${name}MotorVoltageV`)?.value;
    if (voltage === undefined || Math.abs(expected) < DRIVEN_V) continue;
    if (showsNothing(context, name)) doubts.set(name, 'nothing');
    else if (Math.abs(voltage) > Math.abs(expected) / 2 && voltage > 0 !== expected > 0) {
      const limited = quantityIn(
        context,
        `limited${throwWords(name).replace(/,.*/, '')}MotorCurrentA`,
      )?.value;
      const wasRight = limited !== undefined && Math.abs(limited) > 0.3 && limited > 0 === expected > 0;
      doubts.set(name, wasRight ? 'other-way-once' : 'other-way');
    }
  }
  return doubts;
}

function showsNothing(context: CheckContext, name: string): boolean {
  return LEAST_MOVES.every(([channel, least]) => {
    const thrown = quantityIn(context, `${name}${channel}`)?.value;
    const rest = quantityIn(context, `rest${channel}`)?.value;
    return thrown === undefined || rest === undefined || Math.abs(thrown - rest) <= least;
  });
}

function toldOf(context: CheckContext, name: string, doubt: Doubt, check: Check): string {
  const words = throwWords(name);
  if (doubt === 'nothing')
    return `${words}: nothing changed when the switch was to be thrown: it was not thrown, or nothing of it gets through to coil or leads.`;
  if (doubt === 'other-way-once')
    return `${check.sentence} With the limited feed it went the right way, so this time the switch was thrown to the other side.`;
  const both = context.expectation.throws.length > 1 && doubtsOf(context).size > 1;
  return both
    ? `${check.sentence} Leads exchanged, or each time the other side of the switch was thrown: the readings are the same.`
    : `${check.sentence} Both ways the same: a fault, or the same side of the switch was thrown both times.`;
}

const taken = (check: Check, sentence: string): Check => ({ ...check, outcome: 'not-tested', sentence });
const lowered = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);
