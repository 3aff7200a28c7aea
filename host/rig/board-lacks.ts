// What an older board lacks, by name: it still tests with what it has, and whoever uses it knows.

import type { RigIdentity } from './rig.js';

/** What lacks it: the image, which can be flashed, or the circuit, which can be built on. */
type Brought = { lacks: string } & ({ firmware: string } | { hardware: number });

const BROUGHT: readonly Brought[] = [
  { firmware: '1.1.0', lacks: 'holds through noise on the line while a burst waits' },
  { firmware: '1.1.0', lacks: 'refuses trip limits that its amplifiers cannot show' },
  {
    firmware: '1.1.0',
    lacks: 'tells a stop that comes while another is cleared, or before it was restarted',
  },
  { firmware: '1.1.0', lacks: 'sees a feed that is stuck on' },
  { firmware: '1.2.0', lacks: 'feeds relay coils through a limiter first' },
  { firmware: '1.2.0', lacks: 'sees that its feed comes on' },
  { hardware: 2, lacks: 'feeds relay coils through a limiter first' },
  { hardware: 2, lacks: 'sees that its feed comes on' },
];

/** As far as a board told it. */
export type Revisions = Pick<RigIdentity, 'firmwareVersion' | 'hardwareRevision'>;

/** In words that go on a `never`: `sees a feed that is stuck on`. Empty for a board that has everything. */
export const lacksOf = (revisions: Revisions): string[] =>
  BROUGHT.filter((brought) => isLacking(brought, revisions)).map(({ lacks }) => lacks);

/** A limiter in the coils' feed, and a sense of the feed bus that can be relied on. */
export const hasSelfTest = ({ hardwareRevision }: Pick<RigIdentity, 'hardwareRevision'>): boolean =>
  hardwareRevision !== undefined && hardwareRevision >= 2;

/** What to tell, and what to do about it; undefined when nothing is lacking. */
export function lacksTold(revisions: Revisions): { sentence: string; advice: string } | undefined {
  const lacks = lacksOf(revisions);
  if (lacks.length === 0) return undefined;
  const { firmwareVersion, hardwareRevision } = revisions;
  const never = `it never ${lacks.join('; never ')}.`;
  return hardwareRevision === undefined
    ? {
        sentence: `This rig's firmware ${firmwareVersion} is older than this program: ${never}`,
        advice: 'Flash the image that comes with this program (firmware-protocol/FLASH.md).',
      }
    : {
        sentence: `This rig is built as hardware revision ${hardwareRevision}: ${never}`,
        advice: 'Build on what it lacks and join its strap (firmware-protocol/RIG.md, section 5.13).',
      };
}

/** A board that tells no hardware has an old image: what its circuit has, nobody knows. */
function isLacking(brought: Brought, { firmwareVersion, hardwareRevision }: Revisions): boolean {
  if ('firmware' in brought) return isOlder(firmwareVersion, brought.firmware);
  return hardwareRevision !== undefined && hardwareRevision < brought.hardware;
}

function isOlder(version: string, than: string): boolean {
  const [a, b] = [version, than].map((text) => text.split('.').map(Number));
  for (let i = 0; i < 3; i++) {
    const difference = (a?.[i] ?? 0) - (b?.[i] ?? 0);
    if (difference !== 0) return difference < 0;
  }
  return false;
}
