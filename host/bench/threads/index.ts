// Apart from the rest of the bench: who draws a band or prepares a profile loads this, and the solver with it.

export { bandInThreads } from './band-in-threads.js';
export { Helpers } from './helpers.js';
