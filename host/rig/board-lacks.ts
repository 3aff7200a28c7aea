// What the firmware of an older board lacks, by name: it still tests with what it has, and whoever uses it knows.

/** By the firmware that brought it. */
const BROUGHT: readonly { since: string; lacks: string }[] = [
  { since: '1.1.0', lacks: 'holds through noise on the line while a burst waits' },
  { since: '1.1.0', lacks: 'refuses trip limits that its amplifiers cannot show' },
  { since: '1.1.0', lacks: 'tells a stop that comes while another is cleared, or before it was restarted' },
  { since: '1.1.0', lacks: 'sees a feed that is stuck on' },
];

/** In words that go on a `never`: `sees a feed that is stuck on`. Empty for a board that has everything. */
export const lacksOf = (firmwareVersion: string): string[] =>
  BROUGHT.filter(({ since }) => isOlder(firmwareVersion, since)).map(({ lacks }) => lacks);

/** One sentence for people; undefined when nothing is lacking. */
export function lacksSentence(firmwareVersion: string): string | undefined {
  const lacks = lacksOf(firmwareVersion);
  if (lacks.length === 0) return undefined;
  return `This rig's firmware ${firmwareVersion} is older than this program: it never ${lacks.join('; never ')}.`;
}

export const FLASH_ADVICE = 'Flash the image that comes with this program (RIG.md, section 7).';

function isOlder(version: string, than: string): boolean {
  const [a, b] = [version, than].map((text) => text.split('.').map(Number));
  for (let i = 0; i < 3; i++) {
    const difference = (a?.[i] ?? 0) - (b?.[i] ?? 0);
    if (difference !== 0) return difference < 0;
  }
  return false;
}
