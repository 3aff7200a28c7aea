export { passesBy } from './coil-checks.js';
export { relayExpectation } from './expectation.js';
export { judgeRelay, relayPatternsFor } from './judge-relay.js';
export { measureRelayUnit } from './measuring.js';
