// The columns of a capture file that no channel fills; those of channels stand in their records (channels.ts).

import { CHANNEL, CHANNELS } from './channels.js';

export const TIME_COLUMN = 'time_s';
export const POSITION_COLUMN = 'position';
/** Lead A less lead B, of a capture that holds no more of them; and the word on the command line for it. */
export const ACROSS_COLUMN = 'motor_voltage_V';
export const ACROSS_ROLE = 'motor-voltage';
export const FEED_COLUMN = 'feed';
/** Of a capture whose relay coils were fed through their limiter. */
export const COIL_FEED_COLUMN = 'coil_feed';

/** In the order in which they are written. */
export const CHANNEL_COLUMNS: readonly string[] = CHANNELS.map((channel) => CHANNEL[channel].column);
