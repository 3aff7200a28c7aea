export { awgAreaMm2, copperFactor, ferriteFactor } from './copper.js';
export { createTransient } from './create-transient.js';
export { meltingTimeS } from './elements/fuse.js';
export { wireResistanceOhm } from './elements/resistor.js';
export { applyFault, type Fault, type FaultEdit, OPEN_OHM } from './fault-edits.js';
export { elementWords, placeWords } from './fault-words.js';
export { faultById, faultsOf, faultsOfUnit, rigFaultsOf } from './faults.js';
export * from './netlist.js';
export { type RelayBench, relayBench } from './relay-bench.js';
export { runScenario, type Scenario, scenarioSchema } from './scenario.js';
export { simulate } from './simulate.js';
export { drawInput, nominalInput } from './tolerance.js';
export {
  BAND_SOLVER,
  type BandOptions,
  mergeBands,
  type ToleranceBand,
  toleranceBand,
} from './tolerance-band.js';
export { LEAD_IN_S, type PlanOptions, simulatePlan } from './tolerance-plan.js';
export { normalFrom, type SeededRandom, seededRandom } from './tolerance-random.js';
export * from './transient.js';
export { buildUnitCircuit, motorOf } from './unit-circuit.js';
export type { FeedState, UnitCircuit, UnitCircuitInput } from './unit-input.js';
export { FEED_FULL_CONTACT, FEED_LIMITED_CONTACT, placeNode, TRIGGER_AVALANCHE_V } from './unit-rig.js';
