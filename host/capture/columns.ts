// The columns of a capture file, in the order they are written. Units stand in the names.

import type { Channel } from './capture.js';

export const TIME_COLUMN = 'time_s';
export const POSITION_COLUMN = 'position';
export const FEED_COLUMN = 'feed';

export const COLUMN_OF: Readonly<Record<Channel, string>> = {
  feedCurrentA: 'feed_current_A',
  motorCurrentA: 'motor_current_A',
  coilCurrentA: 'coil_current_A',
  leadAVoltageV: 'lead_a_V',
  leadBVoltageV: 'lead_b_V',
  supplyVoltageV: 'supply_V',
};
