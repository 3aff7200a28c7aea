// A self-resetting protector: carries holdCurrentA for ever, opens after tripTimeAtDoubleS at twice that.

import * as z from 'zod';
import { RANGE } from './ranges.js';

/** Keys that a circuit's protector and a motor's share. */
export const PROTECTOR = {
  type: z.enum(['ptc', 'bimetal']),
  coldResistanceOhm: RANGE.protectorOhm(),
  tripResistanceOhm: RANGE.protectorOhm(),
  holdCurrentA: RANGE.motorA(),
  tripTimeAtDoubleS: RANGE.protectorS(),
  resetS: RANGE.protectorS(),
};
