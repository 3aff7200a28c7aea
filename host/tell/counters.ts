// What went wrong on the link and on the board, in a few words; all counters stand in the record's JSON.

/** One and several. What is no error is told to programs only. */
const ERRORS: Record<string, readonly [one: string, several: string]> = {
  framesLost: ['frame lost', 'frames lost'],
  framesRepeated: ['frame repeated', 'frames repeated'],
  crcErrors: ['wrong checksum', 'wrong checksums'],
  malformedLines: ['malformed line', 'malformed lines'],
  overlongLines: ['overlong line', 'overlong lines'],
  retries: ['request repeated', 'requests repeated'],
  timeouts: ['request without an answer', 'requests without an answer'],
  refusals: ['request refused', 'requests refused'],
  strayReplies: ['stray reply', 'stray replies'],
  'board-framesLost': ['frame dropped by the board', 'frames dropped by the board'],
  'board-slotsLate': ['late conversion', 'late conversions'],
  'board-bytesLost': ['byte lost by the board', 'bytes lost by the board'],
  'board-linesRefused': ['line refused by the board', 'lines refused by the board'],
};

/** `20167 frames, no errors`, `4120 frames; 2 frames lost, 1 request repeated`; empty where nothing was counted. */
export function countersText(counters: Readonly<Record<string, number>>): string {
  const { framesIn } = counters;
  if (framesIn === undefined) return '';
  const errors = Object.entries(ERRORS).flatMap(([name, [one, several]]) => {
    const count = counters[name] ?? 0;
    return count > 0 ? [`${count} ${count === 1 ? one : several}`] : [];
  });
  return errors.length === 0 ? `${framesIn} frames, no errors` : `${framesIn} frames; ${errors.join(', ')}`;
}
