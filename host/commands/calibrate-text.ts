// A channel's reading in words.

import { CHANNEL, type Channel } from '../capture/index.js';
import { quantityText } from '../tell/index.js';

export const quantityOfChannel = (channel: Channel, value: number, expandedUncertainty: number): string =>
  quantityText({ value, unit: CHANNEL[channel].unit, expandedUncertainty });
