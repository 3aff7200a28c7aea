// Checks of a relay's contacts: which one carries when, their times, and their drop under load. Contacts are judged by
// their drop under at least 1 A, never by an ohmmeter.

import type { Quantity } from '../../measure/index.js';
import { numberCheck } from '../checks/context.js';
import type { Check } from '../verdict.js';
import { limited, type RelayContext, said } from './context.js';
import { type Limit, relayLimits } from './limits.js';

/** Contacts of this class are specified from 1 A at 12 V; less proves nothing about them. */
const LEAST_CONTACT_A = 1;
export function contactChecks({ seen }: RelayContext): Check[] {
  const count = (name: string): number => seen.measured[name]?.value ?? 0;
  const cycles = count('cycles');
  const unseen =
    cycles === 0 || seen.cycles.every(({ on, before }) => on === 'unknown' && before === 'unknown');
  const check = (id: string, name: string, good: string, bad: (of: number) => string): Check => {
    if (unseen) return said(id, 'not-tested', `${good}: not tested, no cycle under load was seen.`);
    const fine = count(name);
    return fine === cycles
      ? said(id, 'pass', `${good} in each of ${cycles} cycles.`)
      : said(id, 'fail', bad(cycles - fine));
  };
  const of = (bad: number): string => `${bad} of ${cycles} cycles`;
  return [
    check(
      'rest-contact',
      'cyclesAtRest',
      'With the coil off 30-87a carries',
      (bad) => `With the coil off 30-87a does not carry in ${of(bad)}.`,
    ),
    check(
      'operates',
      'cyclesOperated',
      'With the coil on 30-87 carries',
      (bad) => `With the coil on 30-87 does not carry in ${of(bad)}.`,
    ),
    check(
      'returns',
      'cyclesReturned',
      'After coil off 30-87a carries again',
      (bad) => `After coil off 30-87a does not carry again in ${of(bad)}.`,
    ),
    check(
      'weld',
      'cyclesLetGo',
      '30-87 is open 20 ms after coil off',
      (bad) => `30-87 is not open 20 ms after coil off in ${of(bad)}: welded, sticking, or bridged.`,
    ),
  ];
}

export function timeChecks({ unit, relay, seen }: RelayContext): Check[] {
  const { measured } = seen;
  const limits = relayLimits(unit, relay, measured.coilSupplyVoltageV?.value);
  const missing = 'not measured, the contact did not change over';
  const number = (
    id: string,
    subject: string,
    name: string,
    limit: Limit,
    hint?: string,
    required = true,
  ): Check =>
    numberCheck({ id, subject, quantity: measured[name], ...limited(limit), missing, hint, required });
  return [
    number('operate-time', 'From coil on to 30-87 closed it takes', 'operateS', limits.operateS),
    number('release-time', 'From coil off to 30-87a closed it takes', 'releaseS', limits.releaseS),
    number(
      'release-opens',
      'From coil off to 30-87 open it takes',
      'releaseOpensS',
      limits.releaseS,
      undefined,
      false,
    ),
    number('make-bounce', '30-87 bounces for', 'makeBounceS', limits.bounceS),
    number('break-bounce', '30-87a bounces for', 'breakBounceS', limits.bounceS),
    number(
      'operate-gap',
      'Between 30-87a open and 30-87 closed pass',
      'operateGapS',
      limits.gapS,
      'Without a gap feed and ground meet in the relay.',
    ),
    number(
      'release-gap',
      'Between 30-87 open and 30-87a closed pass',
      'releaseGapS',
      limits.gapS,
      'Without a gap feed and ground meet in the relay.',
    ),
  ];
}

export function dropChecks({ unit, relay, seen }: RelayContext): Check[] {
  const limits = relayLimits(unit, relay, undefined);
  return (['make', 'break'] as const).flatMap((contact): Check[] => {
    const words = contact === 'make' ? '30-87' : '30-87a';
    const current = seen.measured[`${contact}TestCurrentA`];
    const drop = seen.measured[`${contact}DropV`];
    const at10 = seen.measured[`${contact}DropAt10AV`];
    const ohm = seen.measured[`${contact}ResistanceOhm`];
    const id = `${contact}-drop`;
    if (!current || !drop || !at10 || !ohm)
      return [said(id, 'not-tested', `Drop of ${words}: not tested, it did not carry the load.`)];
    if (current.value + current.expandedUncertainty < LEAST_CONTACT_A) {
      return [
        said(
          id,
          'not-tested',
          `Drop of ${words}: not tested, ${current.value.toFixed(2)} A is under the 1 A from which contacts can be judged.`,
        ),
      ];
    }
    const used = numberCheck({
      id,
      subject: '',
      quantity: at10,
      ...limited(limits.dropAt10AV),
      missing: 'not measured',
    });
    const asNew = numberCheck({
      id: `${contact}-drop-as-new`,
      subject: '',
      quantity: at10,
      ...limited(limits.dropAsNewV),
      missing: 'not measured',
      required: false,
    });
    const base = `${words} drops ${mV(at10)} at 10 A (${mV(drop)} at ${current.value.toFixed(1)} A, ${milliohm(ohm)}`;
    const close = used.outcome.startsWith('conditional') ? ', too close to the limit to be sure' : '';
    return [
      { ...used, sentence: `${base}; at most ${(1000 * limits.dropAt10AV.upper!).toFixed(0)} mV${close}).` },
      {
        ...asNew,
        sentence: `${base}; a new one at most ${(1000 * limits.dropAsNewV.upper!).toFixed(0)} mV).`,
      },
    ];
  });
}

const mV = ({ value, expandedUncertainty }: Quantity): string =>
  `${(1000 * value).toFixed(0)} ± ${Math.max(1, 1000 * expandedUncertainty).toFixed(0)} mV`;
const milliohm = ({ value, expandedUncertainty }: Quantity): string =>
  `${(1000 * value).toFixed(1)} ± ${(1000 * expandedUncertainty).toFixed(1)} mΩ`;
