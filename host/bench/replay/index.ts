// Apart from the rest of the bench, so that a run does not load what judges in its own thread.
export * from './replay.js';
