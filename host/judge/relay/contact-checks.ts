// Checks of a relay's contacts: which one carries when, their times, and their drop under load. Contacts are judged by
// their drop under at least 1 A, never by an ohmmeter.

import { QUANTITIES, type Quantity, type QuantityName, readingOf } from '../../measure/index.js';
import { amount, milli, reading } from '../../tell/index.js';
import { checkOf, closeWords, numberCheck } from '../check.js';
import type { Check, CheckKind } from '../verdict.js';
import { limited, type RelayContext } from './context.js';
import { type Limit, relayLimits } from './limits.js';

/** Contacts of this class are specified from 1 A at 12 V; less proves nothing about them. */
const LEAST_CONTACT_A = 1;

const ofRelay = (id: string, rank = 180): CheckKind => ({ id, of: 'relay', rank });

/** What each contact does in every cycle of a good relay, and what is said where it does not. */
const CARRIES = [
  {
    kind: ofRelay('rest-contact', 60),
    what: 'cyclesAtRest',
    good: 'With the coil off 30-87a carries',
    bad: (cycles: string) => `With the coil off 30-87a does not carry in ${cycles}.`,
  },
  {
    kind: ofRelay('operates', 70),
    what: 'cyclesOperated',
    good: 'With the coil on 30-87 carries',
    bad: (cycles: string) => `With the coil on 30-87 does not carry in ${cycles}.`,
  },
  {
    kind: ofRelay('returns', 80),
    what: 'cyclesReturned',
    good: 'After coil off 30-87a carries again',
    bad: (cycles: string) => `After coil off 30-87a does not carry again in ${cycles}.`,
  },
  {
    kind: ofRelay('weld', 50),
    what: 'cyclesLetGo',
    good: '30-87 is open 20 ms after coil off',
    bad: (cycles: string) =>
      `30-87 is not open 20 ms after coil off in ${cycles}: welded, sticking, or bridged.`,
  },
] as const;

export function contactChecks({ seen }: RelayContext): Check[] {
  const count = (what: QuantityName): number => readingOf(seen.measured, what)?.value ?? 0;
  const cycles = count('cycles');
  const unseen =
    cycles === 0 || seen.cycles.every(({ on, before }) => on === 'unknown' && before === 'unknown');
  return CARRIES.map(({ kind, what, good, bad }) => {
    if (unseen) {
      const sentence = `${good}: not tested, no cycle under load was seen.`;
      return checkOf(kind, { outcome: 'not-tested', sentence });
    }
    const missed = cycles - count(what);
    return checkOf(kind, {
      outcome: missed === 0 ? 'pass' : 'fail',
      sentence: missed === 0 ? `${good} in each of ${cycles} cycles.` : bad(`${missed} of ${cycles} cycles`),
    });
  });
}

const GAP_HINT = 'Without a gap feed and ground meet in the relay.';

export function timeChecks({ unit, relay, seen }: RelayContext): Check[] {
  const { measured } = seen;
  const limits = relayLimits(unit, relay, readingOf(measured, 'coilSupplyVoltageV')?.value);
  const asked: readonly {
    kind: CheckKind;
    subject: string;
    named: string;
    what: QuantityName;
    limit: Limit;
    hint?: string;
    required?: boolean;
  }[] = [
    {
      kind: ofRelay('operate-time', 130),
      subject: 'From coil on to 30-87 closed it takes',
      named: 'Time from coil on to 30-87 closed',
      what: 'operateS',
      limit: limits.operateS,
    },
    {
      kind: ofRelay('release-time', 130),
      subject: 'From coil off to 30-87a closed it takes',
      named: 'Time from coil off to 30-87a closed',
      what: 'releaseS',
      limit: limits.releaseS,
    },
    {
      kind: ofRelay('release-opens', 130),
      subject: 'From coil off to 30-87 open it takes',
      named: 'Time from coil off to 30-87 open',
      what: 'releaseOpensS',
      limit: limits.releaseS,
      required: false,
    },
    {
      kind: ofRelay('make-bounce', 140),
      subject: '30-87 bounces for',
      named: 'Bounce of 30-87',
      what: 'makeBounceS',
      limit: limits.bounceS,
    },
    {
      kind: ofRelay('break-bounce', 140),
      subject: '30-87a bounces for',
      named: 'Bounce of 30-87a',
      what: 'breakBounceS',
      limit: limits.bounceS,
    },
    {
      kind: ofRelay('operate-gap', 135),
      subject: 'Between 30-87a open and 30-87 closed pass',
      named: 'Gap between 30-87a open and 30-87 closed',
      what: 'operateGapS',
      limit: limits.gapS,
      hint: GAP_HINT,
    },
    {
      kind: ofRelay('release-gap', 135),
      subject: 'Between 30-87 open and 30-87a closed pass',
      named: 'Gap between 30-87 open and 30-87a closed',
      what: 'releaseGapS',
      limit: limits.gapS,
      hint: GAP_HINT,
    },
  ];
  return asked.map(({ kind, what, limit, ...told }) =>
    numberCheck(kind, {
      ...told,
      quantity: readingOf(measured, what),
      ...limited(limit),
      missing: 'not measured, the contact did not change over',
    }),
  );
}

const DROPS = [
  {
    kind: ofRelay('make-drop', 110),
    asNew: ofRelay('make-drop-as-new'),
    words: '30-87',
    current: 'makeTestCurrentA',
    drop: 'makeDropV',
    at10: 'makeDropAt10AV',
    ohm: 'makeResistanceOhm',
  },
  {
    kind: ofRelay('break-drop', 110),
    asNew: ofRelay('break-drop-as-new'),
    words: '30-87a',
    current: 'breakTestCurrentA',
    drop: 'breakDropV',
    at10: 'breakDropAt10AV',
    ohm: 'breakResistanceOhm',
  },
] as const;

export function dropChecks({ unit, relay, seen }: RelayContext): Check[] {
  const { dropAt10AV, dropAsNewV } = relayLimits(unit, relay, undefined);
  return DROPS.flatMap(({ kind, asNew, words, ...names }): Check[] => {
    const current = readingOf(seen.measured, names.current);
    const drop = readingOf(seen.measured, names.drop);
    const at10 = readingOf(seen.measured, names.at10);
    const ohm = readingOf(seen.measured, names.ohm);
    const not = (why: string): Check[] => [
      checkOf(kind, { outcome: 'not-tested', sentence: `Drop of ${words}: not tested, ${why}.` }),
    ];
    if (!current || !drop || !at10 || !ohm) return not('it did not carry the load');
    if (current.value + current.expandedUncertainty < LEAST_CONTACT_A)
      return not(`${amount(current.value, 'A', 2)} is under the 1 A from which contacts can be judged`);
    const base = `${words} drops ${mV(at10)} at 10 A (${mV(drop)} at ${amount(current.value, 'A', 1)}, ${reading(ohm.value, ohm.expandedUncertainty, 'Ohm')}`;
    const most = ({ upper = Number.NaN }: Limit): string => `at most ${milli(upper, 'V')}`;
    const limits = (limit: Limit) => ({ subject: '', quantity: at10, ...limited(limit), missing: '' });
    const used = numberCheck(kind, limits(dropAt10AV));
    return [
      { ...used, sentence: `${base}; ${most(dropAt10AV)}${closeWords(used.outcome)}).` },
      {
        ...numberCheck(asNew, { ...limits(dropAsNewV), required: false }),
        sentence: `${base}; a new one ${most(dropAsNewV)}).`,
      },
    ];
  });
}

/** A drop is never told finer than to a millivolt. */
const mV = ({ value, expandedUncertainty }: Quantity): string =>
  reading(value, Math.max(0.001, expandedUncertainty), QUANTITIES.makeDropV.unit, { asMilli: true });
