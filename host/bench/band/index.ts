// Apart from the rest of the bench: the circuit's solver loads in this thread for this only.

export { bandInThreads } from '../preparing/band-in-threads.js';
