// Apart from the rest of the records: who never hears of a server does not load its driver.

export { type ServerAddress, STORE_VARIABLE, serverAddress } from '../server-address.js';
export { type CatchUpOptions, type CaughtUp, catchUp } from './catch-up.js';
export { catchUpStore, type Occasion } from './catch-up-store.js';
export { ATTENDED, type Patience, type ServerDatabase, withServer } from './connect.js';
export { LocalChain } from './local-chain.js';
export { type Waiting, waitingFor } from './reached.js';
export { type BenchState, clockAheadS, serverState } from './state.js';
export { type BenchVerified, verifyServer } from './verify.js';
export { migrateServer, NEWEST_SERVER_VERSION, serverVersion } from './versions.js';
