// The virtual rig on a pair of byte streams instead of a port object. There is no opening to reset the board: it is
// powered when serving begins, and paced, because the host at the other end lives on the wall clock.

import { openVirtualRig, type VirtualRigOptions } from './virtual-rig.js';

export interface ServeOptions extends Omit<VirtualRigOptions, 'paced'> {
  send(bytes: Uint8Array): void;
  receive: NodeJS.ReadableStream;
}

/** `ended` resolves when the other end closes `receive`, or after stop(). */
export function serveVirtualRig(options: ServeOptions): { ended: Promise<void>; stop(): void } {
  const { send, receive, ...what } = options;
  const rig = openVirtualRig({ ...what, paced: true });
  let stop = (): void => {};
  const ended = new Promise<void>((resolve) => {
    stop = () => {
      rig.close();
      receive.pause();
      resolve();
    };
  });
  rig.board.onTransmit = send;
  receive.on('data', (chunk: Buffer) => rig.board.receive(chunk));
  receive.on('end', () => stop());
  receive.on('error', () => stop());
  rig.power();
  return { ended, stop: () => stop() };
}
