// How often the current of a two-brush motor ripples while its shaft turns once.

/**
 * As many as segments when they are even, twice as many when they are odd (least common multiple of brushes and
 * segments, a rule widely stated for ripple counting).
 */
export const ripplesPerTurn = (segments: number): number => (segments % 2 === 0 ? segments : 2 * segments);
