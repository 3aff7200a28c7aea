// Checks of a relay by itself. Contacts are judged by their drop under at least 1 A, never by an ohmmeter.

import type { Quantity, RelayMeasured, SuppressionSeen } from '../../measure/index.js';
import { isRampAsk, type RelayProfile, type ResolvedUnit } from '../../profile/index.js';
import { numberCheck } from '../checks/context.js';
import type { Check } from '../verdict.js';
import { type Limit, relayLimits } from './limits.js';

export interface RelayContext {
  unit: ResolvedUnit;
  relay: RelayProfile;
  seen: RelayMeasured;
  stop: string | undefined;
}

/** Contacts of this class are specified from 1 A at 12 V; less proves nothing about them. */
const LEAST_CONTACT_A = 1;
/** A coil supply in which a 12 V relay can be judged, as parts of its nominal voltage (common practice, no source). */
const SUPPLY_PARTS = [0.85, 1.3] as const;
/** A resistor across a coil may be off by its own tolerance and by age (common practice, no source). */
const SUPPRESSION_PART = 0.25;

export function relayChecks(context: RelayContext): Check[] {
  return [
    ...runChecks(context),
    ...coilChecks(context),
    ...contactChecks(context),
    ...timeChecks(context),
    ...dropChecks(context),
    ...rampChecks(context),
  ];
}

const said = (
  id: string,
  outcome: Check['outcome'],
  sentence: string,
  origin: Check['origin'] = 'generic',
  required = true,
): Check => ({ id, sentence, outcome, required, origin });

function runChecks({ stop, seen, relay }: RelayContext): Check[] {
  const checks: Check[] = [];
  if (stop === 'over-current')
    checks.push(said('over-current', 'fail', 'The rig stopped for over-current: a short past the load.'));
  else if (stop !== undefined)
    checks.push(
      said('plan', 'not-tested', 'The run was stopped before its end; what was not run is not tested.'),
    );
  const supply = seen.measured.coilSupplyVoltageV;
  const [low, high] = SUPPLY_PARTS.map((part) => part * relay.nominalVoltageV) as [number, number];
  const check = numberCheck({
    id: 'supply',
    subject: 'With the coil on the supply is',
    quantity: supply,
    lower: low,
    upper: high,
    origin: 'generic',
    missing: 'not measured',
  });
  const isOut = check.outcome === 'fail' || check.outcome === 'conditional-fail';
  checks.push(isOut ? { ...check, outcome: 'not-tested' } : check);
  return checks;
}

const limited = (limit: Limit) => ({
  ...(limit.lower === undefined ? {} : { lower: limit.lower }),
  ...(limit.upper === undefined ? {} : { upper: limit.upper }),
  origin: limit.origin,
});

function coilChecks({ unit, relay, seen }: RelayContext): Check[] {
  const { measured, suppression } = seen;
  const { coilOhm } = relayLimits(unit, relay, undefined);
  const { nominal, plusMinus } = unit.unit.temperatureC;
  const wasOn = measured.coilCurrentA !== undefined;
  const coil: Check = passesBy(seen)
    ? said(
        'coil-resistance',
        'fail',
        `With plus on 86 the test current meets ${told(measured.markedTestOhm)} in place of the winding: a diode that conducts this way, a wrong terminal, or a short. ${wasOn ? '' : 'The full supply was not put on it. '}Exchange 85 and 86 and run again.`,
        relay.origin,
      )
    : suppression.kind === 'open' || (wasOn && measured.coilResistanceOhm === undefined)
      ? said('coil-resistance', 'fail', 'The coil takes no current: open between 85 and 86.', relay.origin)
      : numberCheck({
          id: 'coil-resistance',
          subject: 'Between 85 and 86 the coil has',
          quantity: measured.coilResistanceOhm,
          ...limited(coilOhm),
          missing: 'not measured, coil current or supply was not sampled',
          hint: `Limits hold for a coil of ${(nominal - plusMinus).toFixed(0)} to ${(nominal + plusMinus).toFixed(0)} °C.`,
        });
  const dip = measured.dipS;
  return [
    coil,
    suppressionCheck(relay, suppression),
    dip
      ? said(
          'armature-dip',
          'pass',
          `The armature moves: it marks the coil current ${(1000 * dip.value).toFixed(1)} ms after switching on.`,
          'generic',
          false,
        )
      : said(
          'armature-dip',
          'not-tested',
          'No mark of the armature in the coil current; its contacts tell whether it moves.',
          'generic',
          false,
        ),
  ];
}

const told = (quantity: Quantity | undefined): string =>
  quantity ? `${Math.max(0, quantity.value).toFixed(0)} Ω` : 'next to nothing';

/** Less is no winding (6 V relays have 15 to 30 Ohm; common practice). */
const LEAST_WINDING_OHM = 11;

/** The test current goes past the winding: the full supply must not follow it. */
export function passesBy({
  measured,
  suppression,
}: Pick<RelayMeasured, 'measured' | 'suppression'>): boolean {
  if (suppression.kind === 'shorted') return true;
  const marked = measured.markedTestOhm;
  return marked !== undefined && marked.value < LEAST_WINDING_OHM;
}

const WORDS = {
  none: () => 'nothing',
  resistor: (ohm: number) => `a resistor of ${ohm.toFixed(0)} Ω`,
  diode: (anodeAt: string) => `a diode with its anode on ${anodeAt}`,
};

function wordsOf(what: RelayProfile['suppression'] | SuppressionSeen): string {
  if (what.kind === 'resistor') return WORDS.resistor('ohm' in what ? what.ohm : what.resistanceOhm);
  if (what.kind === 'diode') return WORDS.diode(what.anodeAt);
  return WORDS.none();
}

function suppressionCheck(relay: RelayProfile, seen: SuppressionSeen): Check {
  const wanted = relay.suppression;
  const id = 'suppression';
  if (seen.kind === 'unknown')
    return said(id, 'not-tested', `Suppression of the coil is not tested: ${seen.why}.`, relay.origin);
  if (seen.kind === 'open' || seen.kind === 'shorted')
    return said(id, 'not-tested', `Suppression is not tested: the coil is ${seen.kind}.`, relay.origin);
  const read =
    seen.kind === 'resistor'
      ? `a resistor of ${seen.ohm.toFixed(0)} ± ${(2 * seen.standardUncertainty).toFixed(0)} Ω`
      : wordsOf(seen);
  const base = `Across the coil lies ${read}`;
  if (seen.kind !== wanted.kind) {
    const slow = seen.kind === 'diode' ? ' A diode makes it let go slowly.' : '';
    return said(id, 'fail', `${base}; ${wordsOf(wanted)} belongs there.${slow}`, relay.origin);
  }
  if (seen.kind === 'resistor' && wanted.kind === 'resistor') {
    const off = Math.abs(seen.ohm - wanted.resistanceOhm);
    const reach = SUPPRESSION_PART * wanted.resistanceOhm + 2 * seen.standardUncertainty;
    const outcome = off <= reach ? 'pass' : 'fail';
    return said(id, outcome, `${base}; ${wanted.resistanceOhm} Ω belongs there.`, relay.origin);
  }
  if (seen.kind === 'diode' && wanted.kind === 'diode' && seen.anodeAt !== wanted.anodeAt)
    return said(id, 'fail', `${base}; it belongs the other way round.`, relay.origin);
  return said(id, 'pass', `${base}, as it should be.`, relay.origin);
}

function contactChecks({ seen }: RelayContext): Check[] {
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

function timeChecks({ unit, relay, seen }: RelayContext): Check[] {
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

function dropChecks({ unit, relay, seen }: RelayContext): Check[] {
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

function rampChecks({ unit, relay, seen }: RelayContext): Check[] {
  const limits = relayLimits(unit, relay, undefined);
  // What the plan does not ask for is told as not tested and holds no verdict up.
  const isAsked = unit.plan.steps.some(({ ask }) => isRampAsk(ask));
  const missing = isAsked
    ? 'not tested, the supply was not turned up and down, or the relay did not follow'
    : 'not tested, this plan has no turning of the supply';
  return [
    numberCheck({
      id: 'pull-in',
      subject: 'It pulls in at',
      quantity: seen.measured.pullInVoltageV,
      ...limited(limits.pullInV),
      required: isAsked,
      missing,
      hint: 'A relay like that works in winter and not in summer.',
    }),
    numberCheck({
      id: 'drop-out',
      subject: 'It drops out at',
      quantity: seen.measured.dropOutVoltageV,
      ...limited(limits.dropOutV),
      required: isAsked,
      missing,
      hint: 'It may stay on by itself.',
    }),
  ];
}
