// Words for what is counted on the link and on the board, as the record tells it.

const COUNTERS: Record<string, string> = {
  linesIn: 'lines in',
  framesIn: 'frames in',
  framesLost: 'frames lost',
  framesRepeated: 'frames repeated',
  crcErrors: 'wrong checksums',
  malformedLines: 'malformed lines',
  overlongLines: 'overlong lines',
  bytesIn: 'bytes in',
  bytesOut: 'bytes out',
  requests: 'requests',
  retries: 'retries',
  timeouts: 'timeouts',
  refusals: 'refusals',
  strayReplies: 'stray replies',
  attempts: 'attempts to connect',
  longestSilenceMs: 'ms of longest silence',
  'board-framesSent': 'frames sent by the board',
  'board-framesLost': 'frames dropped by the board',
  'board-slotsLate': 'late conversions',
  'board-bytesLost': 'bytes lost by the board',
  'board-linesRefused': 'lines refused by the board',
};

/** `4120 lines in, 0 frames lost`; what has no words is left to programs. */
export const countersText = (counters: Readonly<Record<string, number>>): string =>
  Object.entries(COUNTERS)
    .filter(([name]) => counters[name] !== undefined)
    .map(([name, words]) => `${counters[name]} ${words}`)
    .join(', ');
