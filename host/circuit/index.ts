export { type BrokenClaim, brokenClaim } from './broken-claim.js';
export {
  COIL_REFERENCE_C,
  copperFactor,
  ferriteFactor,
  MOTOR_REFERENCE_C,
  motorAt,
} from './copper.js';
export { createTransient } from './create-transient.js';
export { BAND_SOLVER, type Band, Draws, type DrawsOptions, type DrawsShare } from './draws.js';
export { meltingTimeS } from './elements/fuse.js';
export { joinedNodes } from './elements/index.js';
export { wireResistanceOhm } from './elements/resistor.js';
export {
  type Family,
  type FamilyPlace,
  familyMotor,
  familyOf,
  familyPlace,
  isOnMechanism,
  MOST_RUNNING_PART,
  type MotorAsSeen,
  motorAsSeen,
  motorNumbers,
  nearestUsual,
} from './family.js';
export { type AppliedFault, type Fault, type FaultKind, faultOf, type MotorMoves } from './fault.js';
export { blownFuse } from './fault-bench.js';
export { applyFault, type FaultEdit, OPEN_OHM } from './fault-edits.js';
export { elementWords, placeWords } from './fault-words.js';
export {
  clipFaultsOf,
  faultById,
  faultsOf,
  faultsOfUnit,
  furtherConditionsOf,
  rigFaultsOf,
} from './faults.js';
export { midTravel } from './mid-travel.js';
export * from './netlist.js';
export { type NotWeighed, notWeighedOf } from './not-weighed.js';
export { type PositionState, positionState } from './position-state.js';
export { type RelayBench, relayBench } from './relay-bench.js';
export { runScenario, type Scenario, scenarioSchema } from './scenario.js';
export { danglingNodes } from './scenario-faults.js';
export { CLIP_CHANNELS, CLIP_HOMES, type SenseClip, withClipAt } from './sense-clip.js';
export { simulate } from './simulate.js';
export { angleAtRad, standingAngles } from './starts-at.js';
export { drawInput, nominalInput, withoutRipple } from './tolerance.js';
export { type PlanOptions, simulatePlan } from './tolerance-plan.js';
export { normalFrom, type SeededRandom, seededRandom } from './tolerance-random.js';
export * from './transient.js';
export { buildUnitCircuit, motorOf } from './unit-circuit.js';
export type { FeedState, UnitCircuit, UnitCircuitInput } from './unit-input.js';
export { brushContactOf } from './unit-parts.js';
export {
  COIL_CONTROLS,
  FEED_FULL_CONTACT,
  FEED_LIMITED_CONTACT,
  placeNode,
  SUPPLY_SOURCE,
  TRIGGER_AVALANCHE_V,
} from './unit-rig.js';
