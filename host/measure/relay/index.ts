export type { Carrier, CycleSeen, Transfer } from './edges.js';
export type { KnownOhm, RelayMeasureOptions } from './hook-up.js';
export { measureRelay, type RelayMeasured } from './measure-relay.js';
export type { SuppressionSeen } from './suppression.js';
