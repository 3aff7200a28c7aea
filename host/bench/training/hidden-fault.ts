// What a training run hides: one fault that the profile's unit can have, or none, drawn from a seed. The learner names
// from the same list; nothing here is told before the reveal.

import { itemAt } from '../../arrays/index.js';
import { faultsOfUnit, motorOf, seededRandom } from '../../circuit/index.js';
import { HEALTHY, hypothesesOf } from '../../diagnose/index.js';
import { caseSchema, type ResolvedUnit, type VirtualCase } from '../../profile/index.js';

/** One thing that may be the matter, in the words of its style. */
export interface Nameable {
  id: string;
  sentence: string;
  /** Faults of one group lie in one unbranched path; no reading of the rig's tells them apart. */
  group?: string;
}

export interface HiddenFault extends Nameable {
  virtualCase: VirtualCase;
}

/** One run in ten has nothing: whoever always finds a fault must learn it (choice of this program). */
const HEALTHY_PART = 0.1;

type Condition = Partial<Pick<VirtualCase, 'motorScale' | 'wornBrushes'>>;

/** Conditions of the motor as the virtual bench can make them; mid-way between slight and strong (values from memory). */
const CONDITIONS: readonly (readonly [name: string, condition: Condition])[] = [
  ['brushes-worn', { wornBrushes: { extraResistanceOhm: 0.6, dropoutsPerS: 3, dropoutS: 0.015 } }],
  ['turns-light', { motorScale: { coulombNm: 0.3, viscousNms: 0.55 } }],
  ['winding-shorted', { motorScale: { resistanceOhm: 0.5, inductanceH: 0.5, coulombNm: 1.4 } }],
  [
    'wound-for-other-voltage',
    { motorScale: { resistanceOhm: 4, inductanceH: 4, backEmfVsPerRad: 2, torqueNmPerA: 2 } },
  ],
];

/** Everything that may be hidden in a unit of this profile, and so everything that may be named; nothing wrong first. */
export function nameablesOf(unit: ResolvedUnit): [Nameable, ...Nameable[]] {
  const hideable = new Set([...faultsOfUnit(unit).map(({ id }) => id), ...conditionsOf(unit).keys()]);
  const named = hypothesesOf(unit).filter(({ id }) => hideable.has(id));
  return [
    { id: HEALTHY, sentence: 'Nothing is wrong with it.' },
    ...named.map(({ id, sentence, group }) => ({ id, sentence, ...(group === undefined ? {} : { group }) })),
  ];
}

/** The same seed and profile hide the same. */
export function hideFault(unit: ResolvedUnit, seed: number): HiddenFault {
  const random = seededRandom(seed);
  const [healthy, ...faults] = nameablesOf(unit);
  const isHealthy = random.uniform() < HEALTHY_PART || faults.length === 0;
  const chosen = isHealthy ? healthy : itemAt(faults, Math.floor(random.uniform() * faults.length));
  return { ...chosen, virtualCase: caseOf(unit, chosen.id, seed) };
}

/** The virtual bench with this on it. @throws RangeError for an id that is not among the unit's nameables. */
export function caseOf(unit: ResolvedUnit, id: string, seed: number): VirtualCase {
  const condition = conditionsOf(unit).get(id);
  if (id !== HEALTHY && condition === undefined && !faultsOfUnit(unit).some((fault) => fault.id === id))
    throw new RangeError(`caseOf: ${unit.unit.id} cannot have ${id}`);
  return caseSchema.parse({
    id: 'training',
    title: 'Training',
    kind: 'case',
    seed,
    faults: id === HEALTHY || condition !== undefined ? [] : [id],
    ...condition,
  });
}

/** Named rightly: the fault itself, or one that reads the same everywhere. */
export function isRight(hidden: Nameable, named: Nameable): boolean {
  return named.id === hidden.id || (hidden.group !== undefined && named.group === hidden.group);
}

/** None where a known load hangs in the motor's place, or where the motor is not judged. */
function conditionsOf(unit: ResolvedUnit): Map<string, Condition> {
  if (unit.load !== undefined || unit.unit.subject === 'harness' || unit.unit.subject === 'relay')
    return new Map();
  const { id } = motorOf(unit.style);
  return new Map(CONDITIONS.map(([name, condition]) => [`${id}-${name}`, condition]));
}
