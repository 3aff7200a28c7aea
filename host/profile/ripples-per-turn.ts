// How often the current of a two-brush motor ripples while its shaft turns once.

import type { MotorProfile } from './schema.js';

/**
 * As many as segments when they are even, twice as many when they are odd (least common multiple of brushes and
 * segments, a rule widely stated for ripple counting).
 */
export const ripplesPerTurn = (segments: number): number => (segments % 2 === 0 ? segments : 2 * segments);

/** The same of a motor, as measuring takes it: nothing where its profile tells no segments. */
export const ripplesOf = ({ ripple }: Pick<MotorProfile, 'ripple'>): { ripplesPerTurn?: number } =>
  ripple ? { ripplesPerTurn: ripplesPerTurn(ripple.segments) } : {};
