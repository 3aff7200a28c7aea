// Refuses numbers that no element can have, naming element, quantity and what would be right.

import type { CircuitElement, ElementKind, Netlist, Waveform } from './netlist.js';
import { CircuitError } from './transient.js';

type Rule = 'positive' | 'non-negative' | 'any' | 'increasing';
type Rules = Readonly<Record<string, Rule>>;

const RULES: Readonly<Record<ElementKind, Rules>> = {
  supply: { voltageV: 'any', sourceResistanceOhm: 'non-negative', currentLimitA: 'positive' },
  resistor: { resistanceOhm: 'positive' },
  wire: { lengthM: 'positive', areaMm2: 'positive', awg: 'any', temperatureC: 'any' },
  inductor: { inductanceH: 'positive', initialCurrentA: 'any' },
  capacitor: { capacitanceF: 'positive', initialVoltageV: 'any' },
  diode: { forwardVoltageV: 'non-negative', onResistanceOhm: 'positive' },
  clamp: { forwardVoltageV: 'non-negative', clampVoltageV: 'positive', onResistanceOhm: 'positive' },
  contact: {
    contactResistanceOhm: 'positive',
    closeDelayS: 'non-negative',
    openDelayS: 'non-negative',
    bounceS: 'increasing',
  },
  limit: { opensAboveRad: 'any', opensBelowRad: 'any', contactResistanceOhm: 'positive' },
  switch: { transferS: 'non-negative', delayS: 'non-negative', bounceS: 'increasing' },
  relay: {
    coilResistanceOhm: 'positive',
    coilInductanceH: 'positive',
    closedInductanceRatio: 'positive',
    pullInCurrentA: 'positive',
    dropOutCurrentA: 'positive',
    operateTravelS: 'non-negative',
    releaseTravelS: 'non-negative',
    transferS: 'positive',
    makeResistanceOhm: 'positive',
    breakResistanceOhm: 'positive',
    bounceS: 'increasing',
  },
  fuse: { ratedA: 'positive', resistanceOhm: 'positive', bandPosition: 'non-negative' },
  protector: {
    coldResistanceOhm: 'positive',
    tripResistanceOhm: 'positive',
    holdCurrentA: 'positive',
    tripTimeAtDoubleS: 'positive',
    resetS: 'positive',
  },
  motor: {
    resistanceOhm: 'positive',
    inductanceH: 'non-negative',
    backEmfVsPerRad: 'non-negative',
    torqueNmPerA: 'non-negative',
    inertiaKgM2: 'positive',
    viscousNms: 'non-negative',
    coulombNm: 'non-negative',
    windageNms2: 'non-negative',
    brushDropV: 'non-negative',
    loadNm: 'non-negative',
    temperatureC: 'any',
    startAngleRad: 'any',
    suppressionCapacitorF: 'non-negative',
  },
};
const WORDS: Record<Rule, string> = {
  positive: 'a number above 0',
  'non-negative': 'a number of 0 or more',
  any: 'a finite number',
  increasing: 'an even count of rising times above 0, so that the contact ends closed',
};

function holds(value: unknown, rule: Rule): boolean {
  if (rule === 'increasing') {
    if (!Array.isArray(value) || value.length % 2 === 1) return false;
    return value.every((v, i) => Number.isFinite(v) && v > (i === 0 ? 0 : value[i - 1]));
  }
  if (typeof value !== 'number' || !Number.isFinite(value)) return false;
  return rule === 'any' || (rule === 'positive' ? value > 0 : value >= 0);
}

function refuse(element: CircuitElement, quantity: string, value: unknown, right: string): never {
  const shown = typeof value === 'number' ? String(value) : JSON.stringify(value);
  const sentence = `${element.kind} ${element.id} has ${quantity} ${shown}: give ${right}.`;
  throw new CircuitError({ code: 'bad-value', sentence, nodes: [], elements: [element.id] });
}

function check(element: CircuitElement, name: string, value: unknown, rule: Rule): void {
  if (!holds(value, rule)) refuse(element, name, value, WORDS[rule]);
}

function checkWaveform(element: CircuitElement, name: string, points: Waveform, rule: Rule): void {
  if (points.length === 0) refuse(element, name, points, 'at least one [time, value] point');
  points.forEach(([timeS, value], i) => {
    check(element, name, value, rule);
    const before = points[i - 1]?.[0] ?? Number.NEGATIVE_INFINITY;
    if (!Number.isFinite(timeS) || timeS < before)
      refuse(element, `${name} time`, timeS, 'finite times that do not fall');
  });
}

/** @throws CircuitError with code bad-value. */
export function checkValues(netlist: Netlist): void {
  const seen = new Set<string>();
  for (const element of netlist.elements) {
    if (seen.has(element.id))
      refuse(element, 'the id of another element,', element.id, 'every element an id of its own');
    seen.add(element.id);
    const rules = RULES[element.kind];
    if (!rules) refuse(element, 'the unknown kind', element.kind, `one of ${Object.keys(RULES).join(', ')}`);
    for (const [name, rule] of Object.entries(rules)) {
      const value = (element as unknown as Record<string, unknown>)[name];
      if (value === undefined && OPTIONAL.has(name)) continue;
      if (Array.isArray(value) && rule !== 'increasing')
        checkWaveform(element, name, value as Waveform, rule);
      else check(element, name, value, rule);
    }
    checkTogether(element);
  }
}

const OPTIONAL = new Set([
  'areaMm2',
  'awg',
  'currentLimitA',
  'initialCurrentA',
  'initialVoltageV',
  'opensAboveRad',
  'opensBelowRad',
  'closeDelayS',
  'openDelayS',
  'delayS',
  'bounceS',
  'windageNms2',
  'loadNm',
  'startAngleRad',
  'suppressionCapacitorF',
]);

function checkTogether(element: CircuitElement): void {
  if (element.kind === 'wire' && (element.areaMm2 === undefined) === (element.awg === undefined)) {
    refuse(element, 'areaMm2', element.areaMm2, 'its size once, as areaMm2 or as awg');
  }
  if (element.kind === 'switch') {
    for (const pole of element.poles)
      check(element, `contactResistanceOhm of pole ${pole.id}`, pole.contactResistanceOhm, 'positive');
  }
  if (element.kind === 'relay') {
    if (element.dropOutCurrentA >= element.pullInCurrentA) {
      refuse(
        element,
        'dropOutCurrentA',
        element.dropOutCurrentA,
        `less than pullInCurrentA ${element.pullInCurrentA}`,
      );
    }
    const { suppression } = element;
    if (suppression.kind === 'resistor')
      check(element, 'suppression resistanceOhm', suppression.resistanceOhm, 'positive');
    if (suppression.kind === 'diode')
      check(element, 'suppression forwardVoltageV', suppression.forwardVoltageV, 'non-negative');
  }
  if (element.kind === 'fuse' && element.bandPosition > 1)
    refuse(element, 'bandPosition', element.bandPosition, '0 to 1');
  if (element.kind === 'motor') {
    if (element.brushDropV > 0) check(element, 'brushKneeA', element.brushKneeA, 'positive');
    const stops = element.endStopsRad;
    const start = element.startAngleRad ?? 0;
    if (stops && !(stops.minimum <= start && start <= stops.maximum && stops.minimum < stops.maximum)) {
      refuse(element, 'endStopsRad', stops, 'minimum below maximum, with the start angle between');
    }
    const { ripple, segmentFault } = element;
    if (ripple && !(ripple.segments >= 1 && ripple.amplitude >= 0 && ripple.amplitude < 1)) {
      refuse(element, 'ripple', ripple, 'segments of 1 or more and an amplitude from 0 to below 1');
    }
    if (
      segmentFault &&
      !(segmentFault.resistanceFactor > 0 && segmentFault.widthTurns > 0 && segmentFault.widthTurns < 1)
    ) {
      refuse(
        element,
        'segmentFault',
        segmentFault,
        'a resistanceFactor above 0 and widthTurns between 0 and 1',
      );
    }
  }
}
