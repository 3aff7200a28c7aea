// What happened on one link since it was opened; goes into the record of every run.

export const createLinkCounters = () => ({
  linesIn: 0,
  framesIn: 0,
  framesLost: 0,
  framesRepeated: 0,
  crcErrors: 0,
  malformedLines: 0,
  overlongLines: 0,
  bytesIn: 0,
  bytesOut: 0,
  requests: 0,
  retries: 0,
  timeouts: 0,
  refusals: 0,
  strayReplies: 0,
  attempts: 0,
  /** Longest stretch without a valid line, as the heartbeat saw it. */
  longestSilenceMs: 0,
});
export type LinkCounters = ReturnType<typeof createLinkCounters>;
