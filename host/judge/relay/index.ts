export { passesBy } from './coil-checks.js';
export { relayExpectation } from './expectation.js';
export { relayCase } from './judge-relay.js';
export { measureRelayUnit } from './measuring.js';
export { type RelayLibrary, RelayLibraryWork } from './patterns.js';
