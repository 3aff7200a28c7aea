// A rig without hardware: the shipped firmware on an emulated board, wired to any world, seen from outside as a serial
// port with a clock. Opening the port resets the board, as the reset line of such boards does.

import { encodeRequest } from '../../firmware-protocol/index.js';
import type { Channel } from '../capture/index.js';
import { VirtualClock } from '../link/index.js';
import type { Turned } from '../profile/index.js';
import { type BoardWorld, EmulatedBoard, rigImage } from './board/index.js';
import { type DeviceBinding, deviceBinding, type SerialDevice } from './device-binding.js';
import { Engine } from './engine.js';
import type { HeardPrompt } from './virtual-operator.js';

export interface VirtualRig {
  binding: DeviceBinding;
  path: string;
  /** Host code must wait by this clock; it moves in step with the board. */
  clock: VirtualClock;
  /** For tests and demonstrations: the stop loop, a stall of the firmware, monitors. */
  board: EmulatedBoard;
  /** Lets a paced board live without an open port. */
  power(): void;
  /** Says something to the person at the bench, when there is one. */
  hear?(prompt: HeardPrompt): void;
  /** What a meter without error would show on a channel, now, where the world has one. */
  meter?(channel: Channel): number;
  /** Which way the motor went in the forward throws so far, where the world knows it. */
  turned?(): Turned | undefined;
  /** Ends the emulation; timers of the clock no longer fire. */
  close(): void;
}

export interface EmulatedRigOptions {
  world: BoardWorld;
  /** Held back to the wall clock; otherwise as fast as the machine can. */
  paced: boolean;
  /** Of the board's crystal; see EmulatedBoard. */
  clockErrorPpm?: number;
  path?: string;
  /** An older image, and the revision that the straps of its rig tell. Default: the shipped image on the rig of RIG.md. */
  older?: { image: string; hardwareRevision: number };
  /** Written into the board's EEPROM, as the bring-up of a real rig does it; the firmware says `unnamed` without. */
  rigId?: string;
}

/** Boot, then sixteen bytes of EEPROM at 3.4 ms each (data sheet of the ATmega328P, EEPROM programming time). */
const BOOT_S = 0.02;
const NAMED_S = 0.1;

export function openEmulatedRig(options: EmulatedRigOptions): VirtualRig {
  const { world, paced, clockErrorPpm = 0, path = 'virtual', rigId, older } = options;
  const board = new EmulatedBoard({ image: rigImage(), ...older, world, clockErrorPpm });
  const clock = new VirtualClock();
  board.setStopLoop(true);
  if (rigId !== undefined) {
    board.run(BOOT_S);
    board.receive(Buffer.from(encodeRequest(0, { verb: 'set-rig', rigId }), 'latin1'));
    board.run(NAMED_S);
    clock.advanceTo(board.timeS);
  }
  const engine = new Engine({
    clock,
    machine: board,
    paced,
    onFailure: (error) => binding.break(`the simulated bench failed: ${(error as Error).message}`),
  });
  const device: SerialDevice = {
    opened() {
      board.reset('external');
      engine.isPowered = true;
    },
    receive: (bytes) => board.receive(bytes),
    closed() {
      engine.isPowered = false;
    },
  };
  const binding = deviceBinding(path, device);
  board.onTransmit = (bytes) => binding.transmit(bytes);
  const power = (): void => {
    engine.isPowered = true;
  };
  return { binding, path, clock, board, power, close: () => engine.stop() };
}
