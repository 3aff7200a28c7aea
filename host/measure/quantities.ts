// The one catalogue of what can be read from a run: unit, words, place in print, how it moves with supply and
// temperature, what rig and model leave open in it, whether a good unit can teach it. Names are the keys of
// `measure --json`, behind the id of the stretch that they are read from; they are permanent.

import type { Channel } from '../capture/index.js';
import type { RunStretch } from './run-stretch.js';

/** What of a reading rig, wiring and style data leave open, when it is held against a model: a standard deviation. */
export interface Least {
  /** In the quantity's unit. */
  floor: number;
  /** As a part of the value foretold. */
  part: number;
  /** Larger values all mean the same. */
  most?: number;
}

/** Where a reading may stand when it is held against a model. */
export type Place = 'rest' | 'throw' | 'limited rest' | 'limited throw' | 'whole';

export interface QuantityKind {
  /** SI symbol; `1` for a count. */
  unit: string;
  /** As a person says it, in the middle of a sentence. */
  words: string;
  group:
    | 'level'
    | 'start'
    | 'running'
    | 'drop'
    | 'dropout'
    | 'ripple'
    | 'release'
    | 'energy'
    | 'relay'
    | 'motor';
  /**
   * Goes as these powers of the supply, of the copper's resistance, and of the magnets' flux, over a throw. Without
   * `supply` it does not move with it at all; 0 stands for a little, as the model has it.
   */
  law?: {
    supply?: number;
    copper?: number;
    flux?: number;
    /** The supply is the one at the inrush peak. */
    isAtInrush?: true;
  };
  /** By place; without one, it has no say when causes are weighed there. Values set by judgement, common practice, no source. */
  least?: Partial<Record<Place, Least>>;
  /** Of wires, contacts and coils: the same whatever good motor hangs there. */
  isOfTheWay?: true;
  /** Cannot be read without all of these, and may be absent where a good unit has it or present where it has not. */
  needs?: readonly Channel[];
  /** Says the same thing as this one, when it proves something. */
  sameAs?: 'motorCurrentA';
  /** Another good unit of the same kind tells what it should be. */
  isLearnable?: true;
}

const least = (floor: number, part: number, most?: number): Least => ({
  floor,
  part,
  ...(most === undefined ? {} : { most }),
});

/** Through the limited feed about 1 A flows: what is left of a lead's voltage there tells a motor from a short of a few tenths of an ohm. */
const LEAD = {
  rest: least(0.4, 0.02),
  throw: least(0.12, 0.01),
  'limited rest': least(0.12, 0.02),
  'limited throw': least(0.05, 0.02),
};
const CONTACT_TIME = { whole: least(0.0006, 0.15) };
const BOUNCE = { whole: least(0.0015, 0.2) };
const GAP = { whole: least(0.0002, 0.1) };
const CONTACT_DROP = { whole: least(0.02, 0.3) };
const TEST_OHM = { whole: least(3, 0.07, 500) };
const TURNED = 0.3;

const of =
  (group: QuantityKind['group']) =>
  (unit: string, words: string, more: Partial<QuantityKind> = {}): QuantityKind => ({
    unit,
    words,
    group,
    ...more,
  });
const level = of('level');
const start = of('start');
const running = of('running');
const drop = of('drop');
const ripple = of('ripple');
const release = of('release');
const relay = of('relay');
const motor = of('motor');

const LEARNABLE = { isLearnable: true } as const;
/** Friction of a real load grows with speed in part: +17 % of the supply gives +14 to +25 % of running current (published pair, a window lift). */
const LOAD_LAW = { supply: 0.5, flux: -1 };
/** Of what lies on the way to the motor, contacts and the supply's own resistance do not warm with the wires. */
const WIRING = 0.6;
const DROP_LAW = { supply: 0.5, flux: -1, copper: WIRING };

const TABLE = {
  feedCurrentA: level('A', 'feed current', {
    law: LOAD_LAW,
    least: {
      rest: least(0.15, 0.1),
      throw: least(0.15, 0.08),
      'limited rest': least(0.06, 0.03),
      'limited throw': least(0.06, 0.03),
    },
    sameAs: 'motorCurrentA',
  }),
  motorCurrentA: level('A', 'motor current', {
    law: LOAD_LAW,
    least: { rest: least(0.12, 0.1), throw: least(0.1, 0.06), 'limited throw': least(0.06, 0.05) },
  }),
  coilCurrentA: level('A', 'coil current', {
    law: { supply: 1, copper: -1 },
    isOfTheWay: true,
    least: { rest: least(0.006, 0.06), throw: least(0.006, 0.05), 'limited throw': least(0.006, 0.05) },
    ...LEARNABLE,
  }),
  leadAVoltageV: level('V', 'lead A', { law: { supply: 1 }, least: LEAD }),
  leadBVoltageV: level('V', 'lead B', { law: { supply: 1 }, least: LEAD }),
  supplyVoltageV: level('V', 'supply'),
  motorVoltageV: level('V', 'motor voltage, lead A against lead B', { law: { supply: 1 } }),
  collapsedLeadVoltageV: level('V', 'higher lead at its lowest', { law: { supply: 1 } }),
  collapsedFeedCurrentA: level('A', 'feed current at that moment', { law: { supply: 1 } }),

  contactDelayS: start('s', 'from command to contact', {
    law: { supply: 0, copper: 0.3 },
    isOfTheWay: true,
    ...LEARNABLE,
  }),
  bounceS: start('s', 'contact bounce', { law: { supply: 0 } }),
  inrushPeakA: start('A', 'inrush', {
    law: { supply: 1, copper: -0.75, isAtInrush: true },
    least: { throw: least(0.2, 0.03) },
    ...LEARNABLE,
  }),
  inrushTimeS: start('s', 'time of the inrush peak', { law: { supply: 0, isAtInrush: true }, ...LEARNABLE }),
  inrushSupplyVoltageV: start('V', 'supply at the inrush peak'),
  spikeA: start('A', 'spike ahead of the inrush', { law: { supply: 1, isAtInrush: true } }),
  settleS: start('s', 'time to full speed', {
    law: { supply: 0, copper: 1, flux: -1.5 },
    least: { throw: least(0.004, 0.08) },
    ...LEARNABLE,
  }),
  fallTo37S: start('s', 'fall from the peak to 37 % above running'),
  sourceResistanceOhm: start('Ohm', 'source resistance of the supply', {
    least: { throw: least(0.03, 0.15) },
  }),
  heldRotorCurrentA: start('A', 'held-rotor current', { law: { supply: 1, copper: -0.75 }, ...LEARNABLE }),
  heldRotorFallPercent: start('%', 'fall of the held-rotor current'),
  flatTopA: start('A', 'current limit of the supply', { law: { supply: 0 } }),
  flatTopS: start('s', 'time at that limit', { law: { supply: 0 } }),

  runningCurrentA: running('A', 'running current', { law: LOAD_LAW, ...LEARNABLE }),
  runningDriftPercentPerS: running('%/s', 'creep of the running current at the end'),
  runningScatterA: running('A', 'scatter of the running current', { law: { supply: 0 }, ...LEARNABLE }),
  runningPeakA: running('A', 'highest running current', { law: LOAD_LAW, ...LEARNABLE }),
  stopsAfterS: running('s', 'time to the limit', {
    // A motor with friction loses more than its share of speed with the voltage (from the model).
    law: { supply: -1.2, flux: 1 },
    least: { throw: least(0.03, 0.12) },
    ...LEARNABLE,
  }),
  loadChangesAfterS: running('s', 'time until the load changes'),
  changedCurrentA: running('A', 'current after the load changed'),
  runningAsymmetryPercent: running('%', 'running current forward against reverse', LEARNABLE),
  inrushAsymmetryPercent: start('%', 'inrush forward against reverse', LEARNABLE),

  feedDropV: drop('V', 'drop from supply to driven lead', { law: DROP_LAW, ...LEARNABLE }),
  groundDropV: drop('V', 'drop from return lead to ground', { law: DROP_LAW, ...LEARNABLE }),
  feedResistanceOhm: drop('Ohm', 'resistance from supply to driven lead', {
    law: { copper: WIRING },
    isOfTheWay: true,
    least: { throw: least(0.03, 0.12) },
    ...LEARNABLE,
  }),
  groundResistanceOhm: drop('Ohm', 'resistance from return lead to ground', {
    law: { copper: WIRING },
    isOfTheWay: true,
    least: { throw: least(0.03, 0.12) },
    ...LEARNABLE,
  }),
  startLoadA: drop('A', 'current behind the inrush peak, under which drops are read', {
    law: { supply: 1, copper: -0.75, isAtInrush: true },
  }),
  feedResistanceAtStartOhm: drop('Ohm', 'resistance from supply to driven lead, at the start', {
    law: { copper: WIRING },
    isOfTheWay: true,
  }),
  groundResistanceAtStartOhm: drop('Ohm', 'resistance from return lead to ground, at the start', {
    law: { copper: WIRING },
    isOfTheWay: true,
  }),

  leakageA: drop('A', 'feed current that does not come through the motor lead', {
    least: { throw: least(0.08, 0.1) },
    needs: ['feedCurrentA', 'motorCurrentA'],
    isOfTheWay: true,
  }),

  dropouts: of('dropout')('1', 'losses of the current'),
  dropoutsMotorSide: of('dropout')('1', 'losses of the current inside the motor'),
  dropoutsHarnessSide: of('dropout')('1', 'losses of the current in the harness'),

  rippleHz: ripple('Hz', 'commutation ripple', { law: { supply: 1, flux: -1 }, ...LEARNABLE }),
  rippleAmplitudeA: ripple('A', 'amplitude of the ripple', { law: { supply: 1, copper: -1 }, ...LEARNABLE }),
  speedRpm: ripple('rpm', 'speed by the ripple', { law: { supply: 1, flux: -1 }, ...LEARNABLE }),
  ripplesMissingPerTurn: ripple('1', 'ripples missing in a turn', { law: { supply: 0 } }),
  ripplesDeepPerTurn: ripple('1', 'ripples too deep in a turn', { law: { supply: 0 } }),
  rippleUnevenPercent: ripple('%', 'unevenness of the ripples of a turn', LEARNABLE),
  shaftRateAmplitudeA: ripple('A', 'swing once a turn', { law: { supply: 1 }, ...LEARNABLE }),

  brakePeakA: release('A', 'brake current after release', {
    needs: ['motorCurrentA'],
    law: { supply: 1, copper: -0.75, flux: 1 },
    least: { throw: least(0.3, 0.1) },
    ...LEARNABLE,
  }),
  brakeDecayS: release('s', 'decay of the brake current', {
    needs: ['motorCurrentA'],
    law: { supply: 0, copper: 1, flux: -1.2 },
    ...LEARNABLE,
  }),
  releaseBackEmfV: release('V', 'back-EMF on release', {
    needs: ['leadAVoltageV', 'leadBVoltageV'],
    law: { supply: 1, copper: -0.5 },
    least: { throw: least(0.3, 0.06) },
    ...LEARNABLE,
  }),
  releaseLeadAVoltageV: release('V', 'lead A just after release', { law: { supply: 1 } }),
  releaseLeadBVoltageV: release('V', 'lead B just after release', { law: { supply: 1 } }),
  releaseMotorCurrentA: release('A', 'motor current just after release', { law: { supply: 1 } }),

  energyJ: of('energy')('J', 'energy into the motor', { law: { supply: 1.5, flux: -1 } }),
  feedEnergyJ: of('energy')('J', 'energy from the feed', { law: { supply: 1.5, flux: -1 } }),

  coilSupplyVoltageV: relay('V', 'supply with the coil on'),
  coilResistanceOhm: relay('Ohm', 'between 85 and 86', {
    law: { copper: 1 },
    least: { whole: least(1.5, 0.06) },
    ...LEARNABLE,
  }),
  markedTestCurrentA: relay('A', 'test current, plus on 86'),
  markedTestOhm: relay('Ohm', 'coil by the test current, plus on 86', { least: TEST_OHM }),
  exchangedTestCurrentA: relay('A', 'test current, plus on 85'),
  exchangedTestOhm: relay('Ohm', 'coil by the test current, plus on 85', { least: TEST_OHM }),
  windingResistanceOhm: relay('Ohm', 'winding', { law: { copper: 1 } }),
  windingResistance20COhm: relay('Ohm', 'winding at 20 °C', LEARNABLE),
  windingResistance25COhm: relay('Ohm', 'winding at 25 °C'),
  coilInductanceH: relay('H', 'inductance of the coil', LEARNABLE),
  suppressionOhm: relay('Ohm', 'resistor across the coil'),
  armatureMoves: relay('1', 'armature moves, by the shape of the coil current'),
  dipS: relay('s', "the armature's mark after coil on", LEARNABLE),
  dipDepthA: relay('A', "depth of the armature's mark"),
  releaseRiseS: relay('s', "the armature's mark after coil off"),
  releaseRiseDepthA: relay('A', "height of the armature's mark after coil off"),
  operateS: relay('s', 'coil on to 30-87 closed', { least: CONTACT_TIME, ...LEARNABLE }),
  operateOpensS: relay('s', 'coil on to 30-87a open', LEARNABLE),
  operateGapS: relay('s', '30-87a open to 30-87 closed', { least: GAP, ...LEARNABLE }),
  releaseS: relay('s', 'coil off to 30-87a closed', { least: CONTACT_TIME, ...LEARNABLE }),
  releaseOpensS: relay('s', 'coil off to 30-87 open', { least: CONTACT_TIME, ...LEARNABLE }),
  releaseGapS: relay('s', '30-87 open to 30-87a closed', { least: GAP, ...LEARNABLE }),
  makeBounceS: relay('s', 'bounce of 30-87', { least: BOUNCE, ...LEARNABLE }),
  breakBounceS: relay('s', 'bounce of 30-87a', { least: BOUNCE, ...LEARNABLE }),
  makeTestCurrentA: relay('A', 'load on 30-87'),
  makeDropV: relay('V', 'drop of 30-87'),
  makeResistanceOhm: relay('Ohm', 'resistance of 30-87', LEARNABLE),
  makeDropAt10AV: relay('V', 'drop of 30-87 at 10 A', { least: CONTACT_DROP, ...LEARNABLE }),
  breakTestCurrentA: relay('A', 'load on 30-87a'),
  breakDropV: relay('V', 'drop of 30-87a'),
  breakResistanceOhm: relay('Ohm', 'resistance of 30-87a', LEARNABLE),
  breakDropAt10AV: relay('V', 'drop of 30-87a at 10 A', { least: CONTACT_DROP, ...LEARNABLE }),
  pullInVoltageV: relay('V', 'pull-in', {
    law: { copper: 1 },
    least: { whole: least(TURNED, 0.05) },
    ...LEARNABLE,
  }),
  dropOutVoltageV: relay('V', 'drop-out', {
    law: { copper: 1 },
    least: { whole: least(TURNED, 0.18) },
    ...LEARNABLE,
  }),
  cycles: relay('1', 'cycles'),
  cyclesOperated: relay('1', 'cycles in which 30-87 closed'),
  cyclesReturned: relay('1', 'cycles in which 30-87a closed again'),
  cyclesAtRest: relay('1', 'cycles with 30-87a closed at rest'),
  cyclesLetGo: relay('1', 'cycles with 30-87 open 20 ms after coil off'),

  resistanceOhm: motor('Ohm', 'resistance', { law: { copper: 1 }, ...LEARNABLE }),
  resistanceAt25COhm: motor('Ohm', 'resistance at 25 °C', LEARNABLE),
  inductanceH: motor('H', 'inductance', LEARNABLE),
  electricalTimeConstantS: motor('s', 'electrical time constant', { law: { copper: -1 } }),
  inertiaAsCapacitanceF: motor('F', 'run-up, inertia against flux', { law: { flux: -2 }, ...LEARNABLE }),
  mechanicalTimeConstantS: motor('s', 'mechanical time constant', { law: { copper: 1, flux: -2 } }),
  frictionAtRunA: motor('A', 'friction at running speed', { law: { flux: -1 } }),
  coulombCurrentA: motor('A', 'constant friction', { law: { flux: -1 }, ...LEARNABLE }),
  viscousConductanceS: motor('S', 'friction that grows with speed', { law: { flux: -2 }, ...LEARNABLE }),
  brushDropV: motor('V', 'brush drop'),
  backEmfVsPerRad: motor('V s/rad', 'back-EMF constant', { law: { flux: 1 }, ...LEARNABLE }),
  backEmfAt25CVsPerRad: motor('V s/rad', 'back-EMF constant at 25 °C', LEARNABLE),
  inertiaKgM2: motor('kg m2', 'inertia', LEARNABLE),
  viscousNms: motor('N m s', 'viscous friction torque'),
  coulombNm: motor('N m', 'constant friction torque'),
  torqueNmPerA: motor('N m/A', 'torque constant', { law: { flux: 1 } }),
  viscousAPerRadS: motor('A s/rad', 'friction that grows with speed, in amperes'),
} as const satisfies Record<string, QuantityKind>;

export type QuantityName = keyof typeof TABLE;

export const QUANTITIES: Readonly<Record<QuantityName, QuantityKind>> = TABLE;
export const QUANTITY_NAMES = Object.keys(TABLE) as QuantityName[];

/** Of a reading of this stretch; of none, where it is of the run as a whole. */
export function placeOf(of: RunStretch | undefined): Place | undefined {
  if (of === undefined) return 'whole';
  if (of.feed === 'off') return undefined;
  const rest = of.position === 'rest';
  if (of.feed === 'full') return rest ? 'rest' : 'throw';
  // One limited throw each way tells; what is thrown again through the limiter repeats it.
  return of.nth > 1 ? undefined : rest ? 'limited rest' : 'limited throw';
}
