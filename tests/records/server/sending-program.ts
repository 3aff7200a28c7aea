// A program that sends a store to a server, for the test that kills it. Says on standard output how far it came.

import { catchUp, LocalChain, serverAddress, withServer } from '../../../host/records/server/index.js';

const [store = '', url = ''] = process.argv.slice(2);
const address = serverAddress(url)!;
const onReached = (place: number): void => console.log(place);
await withServer(address, (server) =>
  catchUp(new LocalChain(store), server, { name: address.name, onReached }),
);
