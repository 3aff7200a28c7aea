// A self-resetting protector: carries holdCurrentA for ever, opens after tripTimeAtDoubleS at twice that.

import { z } from 'zod';

const positive = z.number().positive();

/** Keys that a circuit's protector and a motor's share. */
export const PROTECTOR = {
  type: z.enum(['ptc', 'bimetal']),
  coldResistanceOhm: positive,
  tripResistanceOhm: positive,
  holdCurrentA: positive,
  tripTimeAtDoubleS: positive,
  resetS: positive,
};
