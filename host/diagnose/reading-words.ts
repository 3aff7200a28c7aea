// Readings as a person would name and read them: `Lead B, forward`, `2.1 V`.

const STRETCH = /^(limited)?(rest|Rest|forward|Forward|reverse|Reverse)(\d*)(?=[A-Z])/;

const QUANTITY: readonly (readonly [RegExp, string])[] = [
  [/^LeadAVoltageV$/, 'Lead A'],
  [/^LeadBVoltageV$/, 'Lead B'],
  [/^MotorCurrentA$/, 'Motor current'],
  [/^FeedCurrentA$/, 'Feed current'],
  [/^CoilCurrentA$/, 'Coil current'],
  [/^InrushPeakA$/, 'Inrush'],
  [/^SettleS$/, 'Time to full speed'],
  [/^StopsAfterS$/, 'Time to the limit'],
  [/^BrakePeakA$/, 'Brake current after release'],
  [/^ReleaseBackEmfV$/, 'Back-EMF on release'],
];

/** Undefined for a reading that has no place in a sentence. */
export function readingWords(name: string): { what: string; quantity: string } | undefined {
  const stretch = STRETCH.exec(name);
  if (!stretch) return undefined;
  const [whole, limited, way, nth] = stretch;
  const quantity = QUANTITY.find(([pattern]) => pattern.test(name.slice(whole.length)))?.[1];
  if (quantity === undefined) return undefined;
  const where = way!.toLowerCase() === 'rest' ? 'at rest' : way!.toLowerCase();
  const times = nth ? `, throw ${nth}` : '';
  return { what: `${quantity}, ${where}${times}${limited ? ' (limited feed)' : ''}`, quantity };
}

export function readingText(value: number, unit: string): string {
  if (unit === 's') return `${(1000 * value).toFixed(0)} ms`;
  if (unit === 'A' && Math.abs(value) < 0.5) return `${plain(1000 * value, 0)} mA`;
  return `${plain(value, 1)} ${unit}`;
}

const plain = (value: number, decimals: number): string => {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
};
