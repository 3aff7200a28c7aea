// Measured quantities for people: one line each with its ±, in groups by the stretch that they were read from.

import { fedStretchWords, type Measured, QUANTITIES, QUANTITY_NAMES, type Told } from '../measure/index.js';
import { quantityText, retold } from '../tell/index.js';

interface Group {
  title: string;
  lines: [words: string, text: string][];
}

/** Stretch after stretch, what is told of the run as a whole, then the motor. Empty when nothing was measured. */
export function measuredLines(measured: Measured, model: Told = {}): string[] {
  const groups = new Map<string, Group>();
  for (const reading of Object.values(measured)) {
    const { of, what } = reading;
    const title = of === undefined ? 'run' : fedStretchWords(of);
    const group = groups.get(of?.id ?? '') ?? { title, lines: [] };
    group.lines.push([retold(QUANTITIES[what].words), quantityText(reading)]);
    groups.set(of?.id ?? '', group);
  }
  const motor = QUANTITY_NAMES.flatMap((what): Group['lines'] => {
    const quantity = model[what];
    return quantity ? [[retold(QUANTITIES[what].words), quantityText(quantity)]] : [];
  });
  const all = [...groups.values(), ...(motor.length > 0 ? [{ title: 'motor', lines: motor }] : [])];
  const width = Math.max(0, ...all.flatMap(({ lines }) => lines.map(([words]) => words.length)));
  return all.flatMap(({ title, lines }, index) => [
    ...(index === 0 ? [] : ['']),
    title,
    ...lines.map(([words, text]) => `  ${words.padEnd(width)}  ${text}`),
  ]);
}
