// Where the bench is: the port whose rig is known, one that a person chose, or the virtual bench. No port is opened
// unasked but that of a rig that answered there before: opening restarts a board.

import { known } from '../../fields/index.js';
import { listPorts } from '../../link/index.js';
import { loadRig } from '../../profile/index.js';
import type { RigPort, Store } from '../../records/index.js';
import type { BenchController } from '../../screens/index.js';
import { capitalised } from '../../tell/index.js';
import { DEFAULT_RIG_PROFILE } from '../bench-named.js';
import type { Settings } from '../settings.js';

export type Place = { port: string; rigId: string } | 'virtual';

type Port = Awaited<ReturnType<typeof listPorts>>[number];

const isUsb = ({ vendorId }: Port): boolean => vendorId !== undefined;

const usbOf = ({ vendorId, productId, serialNumber, locationId }: Port): RigPort['usb'] =>
  serialNumber === undefined
    ? known({ vendorId, productId, locationId })
    : known({ vendorId, productId, serialNumber });

/** Known rigs that are plugged in: by the number of the piece, or by maker and socket where it has none. */
export function rigsAt(ports: readonly Port[], rigs: readonly RigPort[]): { port: Port; rigId: string }[] {
  return ports.flatMap((port) => {
    const usb = JSON.stringify(Object.entries(usbOf(port)).sort());
    const rig = rigs.find(
      ({ path, usb: was }) =>
        JSON.stringify(Object.entries(was).sort()) === usb && ('serialNumber' in was || path === port.path),
    );
    return rig ? [{ port, rigId: rig.rigId }] : [];
  });
}

export interface Named {
  port?: string;
  rig?: string;
  isVirtual?: boolean;
  /** The short plan wherever it fits. */
  short?: boolean;
  /** Asked after a run: which way the output went when it was thrown forward. */
  askWay?: boolean;
}

/** Undefined when the person leaves. */
export async function findPlace(
  controller: BenchController,
  store: Pick<Store, 'knownRigs' | 'rememberRig'>,
  named: Named,
  settings: Settings,
): Promise<Place | undefined> {
  if (named.isVirtual) return 'virtual';
  const port = named.port ?? settings.port;
  const rig = named.port === undefined ? settings.rig : named.rig;
  let trouble: string | undefined;
  for (let isFirst = true; ; isFirst = false) {
    const ports = await listPorts();
    const there = rigsAt(ports, store.knownRigs());
    const [only] = there;
    const byItself =
      port !== undefined
        ? { path: port, ...known({ rigId: rig }) }
        : only && there.length === 1
          ? { path: only.port.path, rigId: only.rigId }
          : undefined;
    const wanted = isFirst && byItself ? byItself : await chosen(controller, ports, there, trouble);
    if (wanted === undefined || wanted === 'virtual') return wanted;
    if (wanted === 'look-again') {
      trouble = undefined;
      continue;
    }
    const greeted = await greet(wanted);
    if ('trouble' in greeted) {
      trouble = greeted.trouble;
      continue;
    }
    const plugged = ports.find(({ path }) => path === wanted.path);
    store.rememberRig({ ...greeted, path: wanted.path, usb: plugged ? usbOf(plugged) : {} });
    return { port: wanted.path, rigId: greeted.rigId };
  }
}

interface Wanted {
  path: string;
  rigId?: string;
}

async function chosen(
  controller: BenchController,
  ports: readonly Port[],
  there: readonly { port: Port; rigId: string }[],
  trouble: string | undefined,
): Promise<Wanted | 'virtual' | 'look-again' | undefined> {
  // What hangs on USB first: a rig's board does, a slot of the computer itself hardly.
  const usbFirst = [...ports].sort((a, b) => Number(isUsb(b)) - Number(isUsb(a)));
  const named = usbFirst.map((port): { words: string; is: Wanted } => {
    const rigId = there.find(({ port: { path } }) => path === port.path)?.rigId;
    const what = [port.manufacturer, port.pnpId].filter(Boolean).join(', ');
    const words = `${port.path}${rigId ? `, rig ${rigId}` : ''}${what ? `, ${what}` : ''}`;
    return { words, is: { path: port.path, ...known({ rigId }) } };
  });
  const options: { words: string; is: Wanted | 'virtual' | 'look-again' }[] = [
    ...named,
    { words: 'The virtual bench: no rig, nothing is energised', is: 'virtual' },
    { words: 'Look again for ports', is: 'look-again' },
  ];
  const at = await controller.askChoice({
    title: 'Which rig?',
    lines: [
      ports.length === 0
        ? 'No serial port is plugged in.'
        : 'Opening a port restarts its board: outputs go off.',
    ],
    options: options.map(({ words }) => words),
    chosen: ports.some(isUsb) ? 0 : named.length,
    ...known({ trouble }),
  });
  return typeof at === 'number' ? options[at]?.is : undefined;
}

/** Opens the port once, so that the rig says who it is, and closes it again. */
async function greet({ path, rigId }: Wanted): Promise<{ rigId: string } | { trouble: string }> {
  const { greetedRig } = await import('../open-bench.js');
  try {
    return { rigId: await greetedRig(path, rigId, loadRig(DEFAULT_RIG_PROFILE)) };
  } catch (error) {
    const advice = error instanceof Error && 'advice' in error ? ` ${String(error.advice)}` : '';
    const said = error instanceof Error ? error.message : String(error);
    return { trouble: `${capitalised(said)}.${advice}` };
  }
}
