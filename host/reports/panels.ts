// What is drawn together: channels of one unit in one panel, from top to bottom, with their inks.

import { type Capture, CHANNEL, type Channel, type Ink, sampledChannels } from '../capture/index.js';
import type { Line } from './plot.js';
import { n, textAt, textWidth } from './svg.js';

export type PanelTitle = (typeof CHANNEL)[Channel]['picture']['panel'];

/** How many times a channel's least reach of a good reading its panel spans at least. */
const LEAST_REACHES = 5;

export interface Panel {
  leastSpan: number;
  title: PanelTitle;
  unit: string;
  lines: Line[];
}

/** Dashes repeat what colour says. */
const INKS: Record<Ink, Pick<Line, 'colour' | 'dash'>> = {
  brown: { colour: '#8a5a00', dash: '5 3' },
  blue: { colour: '#00539c' },
  green: { colour: '#2d6a2d' },
  grey: { colour: '#555555', dash: '2 3' },
  red: { colour: '#b03a2e', dash: '7 3' },
};

/** From top to bottom. */
export const PANELS: readonly PanelTitle[] = ['Current', 'Voltage to ground', 'Coil current'];

/** Other words for a channel in one picture, such as the terminal of a relay that it is clipped on. */
export type Labels = Partial<Record<Channel, string>>;

/** None where the capture has no channel for it. */
export function panelOf(
  title: PanelTitle,
  { channels }: Pick<Capture, 'channels'>,
  labels: Labels = {},
): Panel[] {
  const lines = sampledChannels(channels)
    .filter(([channel]) => CHANNEL[channel].picture.panel === title)
    // What is watched most lies on top.
    .sort(([a], [b]) => Number(CHANNEL[a].isTraced === true) - Number(CHANNEL[b].isTraced === true))
    .map(([channel, values]): Line => {
      const { short, picture } = CHANNEL[channel];
      return { channel, values, label: labels[channel] ?? picture.legend ?? short, ...INKS[picture.ink] };
    });
  return lines.slice(0, 1).map(({ channel }) => ({
    title,
    unit: CHANNEL[channel].unit,
    leastSpan: LEAST_REACHES * CHANNEL[channel].leastReach,
    lines,
  }));
}

/** The panel's name with its unit, and a piece of each line with its name. */
export function panelHead({ title, unit, lines }: Panel, left: number, top: number): string[] {
  let at = left + textWidth(`${title}, ${unit}`, 12) + 36;
  return [
    textAt(left, top - 5, `${title}, ${unit}`, { isBold: true }),
    ...lines.map(({ label, colour, dash }) => {
      const stroke = `stroke="${colour}" stroke-width="2"${dash ? ` stroke-dasharray="${dash}"` : ''}`;
      const part = `<line x1="${n(at)}" y1="${n(top - 9)}" x2="${n(at + 26)}" y2="${n(top - 9)}" ${stroke}/>${textAt(at + 32, top - 5, label)}`;
      at += 32 + textWidth(label, 12) + 24;
      return part;
    }),
  ];
}
