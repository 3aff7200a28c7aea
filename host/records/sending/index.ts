// Apart from the rest of the records, and from the driver of the server, which only the thread loads.

export { Sender } from './sender.js';
