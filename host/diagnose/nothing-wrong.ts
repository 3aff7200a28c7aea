// The two causes that say that nothing is wrong: a good unit, and a good one with another motor than the usual.

import type { Fault } from '../circuit/index.js';

export const HEALTHY = 'healthy';
export const ANOTHER_MOTOR = 'another-motor';

/** Whether a cause says that nothing is wrong. */
export const isOfHealth = ({ id }: Pick<Fault, 'id'>): boolean => id === HEALTHY || id === ANOTHER_MOTOR;
