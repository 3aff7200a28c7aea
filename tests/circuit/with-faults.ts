// A set-up with faults of its style in it, by their ids.

import { faultById, type UnitCircuitInput } from '../../host/circuit/index.js';

/** @throws RangeError for an id that the style, on its motor or its load, does not have. */
export const withFaults = (input: UnitCircuitInput, ...ids: readonly string[]): UnitCircuitInput => ({
  ...input,
  faults: ids.map((id) => faultById(input, id)),
});
