// Which circuit style a run reads like: from the rest state, the first samples after release, the coils, and which way
// each throw drives the motor. A question to the person, never a verdict: judging keeps to the style that was chosen.

import {
  isFullThrow,
  LIMITED_REST,
  type MeasureResult,
  type QuantityName,
  REST,
  type RunStretch,
  readingOf,
  unloadedSupply,
} from '../measure/index.js';
import { type CircuitStyle, hasLimits } from '../profile/index.js';

/** What a style promises, or a run shows; a key that a run does not show is absent. */
export interface StyleReading {
  /** Where both leads stand with nothing thrown; open leads are pulled to ground by the rig's own loads. */
  rest?: 'low' | 'high';
  release?: 'coast' | 'brake-ground' | 'brake-high';
  /** Whether a throw draws current through relay coils. */
  coil?: boolean;
  forward?: 'positive' | 'negative' | 'none';
  reverse?: 'positive' | 'negative' | 'none';
  /** Whether the motor stops by itself while it is thrown. */
  stopsItself?: boolean;
}

export interface RecognisedStyle {
  /** Styles that promise the same and so cannot be told apart by these readings. */
  ids: string[];
  /** 0 to 1 over all styles handed in. */
  likelihood: number;
  /** What speaks against it, in words; empty when all that was seen fits. */
  against: string[];
}

/** Workshop terminal tables call a lead dead at 1.0 V or less (window and sunroof motors). */
const DEAD_V = 1;
/** Within this of the supply a lead is joined to the feed. */
const HIGH_PART = 0.75;
/** Coils of 75 to 300 Ohm draw 40 mA or more (common practice, no source). */
const COIL_A = 0.02;
const DRIVEN_V = 1;

/**
 * Chance of seeing what a style does not promise, all the same: a fault, or a unit of another kind. By what faults of
 * relays, switches and wires do oftenest; common practice, no source.
 */
const ODDS = { rest: 0.02, release: 0.05, coil: 0.05, forward: 0.1, reverse: 0.1 };
/** A drive with limit switches that stopped, or did not get that far; one without that stopped (a protector). */
const STOPS = { limited: 0.6, plain: 0.02 };

export function readingOfStyle(style: CircuitStyle): StyleReading {
  const high = style.restState === 'high';
  return {
    rest: high ? 'high' : 'low',
    release: style.release === 'coast' ? 'coast' : high ? 'brake-high' : 'brake-ground',
    coil: style.thrownBy === 'trigger',
    ...style.polarity,
    stopsItself: hasLimits(style),
  };
}

/** What the run shows of the circuit; only what all its throws agree on. */
export function readingOfRun(
  { measured, segments }: Pick<MeasureResult, 'measured' | 'segments'>,
  nominalVoltageV: number,
): StyleReading {
  const value = (what: QuantityName, of: RunStretch): number | undefined =>
    readingOf(measured, what, of)?.value;
  const throws = segments.filter(({ of, brief }) => isFullThrow(of) && !brief).map(({ of }) => of);
  const supplyV = unloadedSupply(measured)?.value ?? nominalVoltageV;
  const reading: StyleReading = {};
  const rest = (['leadAVoltageV', 'leadBVoltageV'] as const).map(
    (lead) => value(lead, REST) ?? value(lead, LIMITED_REST),
  );
  if (rest.every((level) => level !== undefined && Math.abs(level) <= DEAD_V)) reading.rest = 'low';
  if (rest.every((level) => level !== undefined && level > HIGH_PART * supplyV)) reading.rest = 'high';
  // A fault of one side shows in one way only: all throws that ran must agree.
  const releases = segments.flatMap(({ of, brief, release }) =>
    !isFullThrow(of) || brief || release === undefined || release === 'still' ? [] : [release],
  );
  const [release] = releases;
  if (release !== undefined && release !== 'driven' && releases.every((other) => other === release))
    reading.release = release;
  const coils = throws.flatMap((of) => value('coilCurrentA', of) ?? []);
  if (coils.some((current) => current > COIL_A)) reading.coil = true;
  for (const way of ['forward', 'reverse'] as const) {
    const first = throws.find(({ position, nth }) => position === way && nth === 1);
    const voltage = first && value('motorVoltageV', first);
    if (voltage === undefined) continue;
    reading[way] = Math.abs(voltage) < DRIVEN_V ? 'none' : voltage > 0 ? 'positive' : 'negative';
  }
  // A motor that runs without coil current is not thrown by relays; one that does not run says nothing of them.
  const runs = [reading.forward, reading.reverse].some((way) => way === 'positive' || way === 'negative');
  if (coils.length > 0 && reading.coil === undefined && runs) reading.coil = false;
  if (runs) reading.stopsItself = throws.some((of) => value('stopsAfterS', of) !== undefined);
  return reading;
}

/** Styles ranked by likelihood, those that promise the same in one entry. Pure. */
export function recognise(seen: StyleReading, styles: readonly CircuitStyle[]): RecognisedStyle[] {
  const groups = new Map<string, { ids: string[]; promised: StyleReading }>();
  for (const style of styles) {
    const promised = readingOfStyle(style);
    const key = JSON.stringify(promised);
    const group = groups.get(key) ?? { ids: [], promised };
    group.ids.push(style.id);
    groups.set(key, group);
  }
  const scored = [...groups.values()].map(({ ids, promised }) => ({
    ids,
    promised,
    weight: ids.length * likelihoodOf(seen, promised),
  }));
  const total = scored.reduce((sum, { weight }) => sum + weight, 0);
  return scored
    .map(({ ids, promised, weight }) => ({
      ids,
      likelihood: total > 0 ? weight / total : 0,
      against: contradictions(seen, promised).map(({ words }) => words),
    }))
    .sort((a, b) => b.likelihood - a.likelihood);
}

function likelihoodOf(seen: StyleReading, promised: StyleReading): number {
  let likelihood = 1;
  for (const key of ['rest', 'release', 'coil', 'forward', 'reverse'] as const) {
    if (seen[key] === undefined) continue;
    likelihood *= seen[key] === promised[key] ? 1 - ODDS[key] : ODDS[key];
  }
  if (seen.stopsItself !== undefined) {
    const chance = promised.stopsItself ? STOPS.limited : STOPS.plain;
    likelihood *= seen.stopsItself ? chance : 1 - chance;
  }
  return likelihood;
}

const RELEASE_WORDS = {
  coast: 'lets the motor coast',
  'brake-ground': 'brakes the motor to ground',
  'brake-high': 'brakes the motor to the feed',
};

/** Each thing seen that a style does not promise: what it reads like, against what the style is. */
export function contradictions(
  seen: StyleReading,
  promised: StyleReading,
): { key: keyof StyleReading; words: string }[] {
  const found: { key: keyof StyleReading; words: string }[] = [];
  if (seen.rest !== undefined && promised.rest !== seen.rest) {
    const [is, should] =
      seen.rest === 'high'
        ? ['rests high, both leads at the feed', 'rests on ground or open']
        : ['rests on ground or open', 'rests high, both leads at the feed'];
    found.push({ key: 'rest', words: `a circuit that ${is}; the profile's ${should}` });
  }
  if (seen.release !== undefined && promised.release !== undefined && promised.release !== seen.release) {
    const [is, should] = [RELEASE_WORDS[seen.release], RELEASE_WORDS[promised.release]];
    found.push({ key: 'release', words: `a circuit that ${is} when released; the profile's ${should}` });
  }
  if (seen.coil !== undefined && promised.coil !== seen.coil) {
    const [is, should] = seen.coil
      ? ['worked by relays: their coils draw current', 'has the switch carry the motor']
      : ['without relays on the coil feed: no coil draws current and the motor runs', 'is worked by relays'];
    found.push({ key: 'coil', words: `a circuit ${is}; the profile's ${should}` });
  }
  return found;
}
