// Every trouble that the link can have, in one record each: what the link may do about it, and what an operator reads:
// one sentence of what happened, one of the likely cause and the next step, with the fix for the system at hand.
// The remedies are common practice on each system; none comes from a standard.

import { amount } from '../tell/index.js';

export type System = 'linux' | 'darwin' | 'win32';

/** What the link may do about it: try again, report the loss, stay silent because it was asked for, or give up. */
export type ErrorFamily = 'retry' | 'disconnected' | 'cancelled' | 'final';

/** Facts that the sentences are made of; all optional, all typed. */
export interface LinkErrorDetails {
  path?: string;
  /** What the operating system or the board said. */
  said?: string;
  /** The request that was refused or not answered. */
  request?: string;
  /** The board's refusal number. */
  refusal?: number;
  /** The number that goes with the refusal, such as the milliseconds of dead time left. */
  refusalDetail?: number;
  boardVersion?: string;
  hostVersion?: string;
  /** Id that the board answered with, and the one that was asked for. */
  rigId?: string;
  wantedRigId?: string;
  /** The program that holds the port. */
  holder?: string;
  /** How long was waited, in seconds. */
  waitedS?: number;
}

const port = ({ path }: LinkErrorDetails): string => (path === undefined ? 'the port' : `port ${path}`);
const said = ({ said: words }: LinkErrorDetails): string => (words === undefined ? '' : ` (${words})`);
const seconds = ({ waitedS }: LinkErrorDetails): string =>
  waitedS === undefined ? '' : ` within ${amount(waitedS, 's', 1)}`;

interface Trouble {
  /** `final` where none is told. */
  family?: ErrorFamily;
  /** One line, no full stop: what happened, where. */
  sentence(details: LinkErrorDetails): string;
  /** `PORT` in it stands for the port's path. */
  advice: string | (Partial<Record<System, string>> & { linux: string });
}

/** By code, which is permanent and for programs. */
const TROUBLES = {
  'port-not-found': {
    sentence: (d) => `${port(d)} does not exist${said(d)}`,
    advice:
      'Plug the rig in and take the name from "throwbench ports"; a port often gets another name when it is plugged in again.',
  },
  'port-permission': {
    sentence: (d) => `no permission to open ${port(d)}${said(d)}`,
    advice: {
      linux:
        'Your user may not use serial ports. Run "sudo usermod -aG dialout $USER" (group uucp on Arch), then log out and in again.',
      darwin:
        'Allow your terminal to use accessories under System Settings, Privacy and Security, then plug the rig in again.',
      win32:
        'Windows answers "access denied" while another program holds the port or the driver is stuck: close serial monitors, wait 5 s, plug the rig in again.',
    },
  },
  'port-busy': {
    family: 'retry',
    sentence: (d) =>
      d.holder === undefined
        ? `${port(d)} is held by another program${said(d)}`
        : `${port(d)} is held by ${d.holder}`,
    advice: {
      linux:
        'Close serial monitors and other copies of this program ("fuser -v PORT" names the holder). ModemManager holds a new port for about 10 s after it is plugged in: wait, or exclude the rig with a udev rule setting ENV{ID_MM_DEVICE_IGNORE}="1".',
      darwin:
        'Close serial monitors and other copies of this program ("lsof PORT" names the holder), then try again.',
      win32:
        'Close serial monitors and other copies of this program; if none is open, plug the rig in again and wait 5 s.',
    },
  },
  'port-driver-fault': {
    family: 'retry',
    sentence: (d) => `the driver of ${port(d)} reports a fault${said(d)}`,
    advice:
      'Usually the USB bridge or its driver: plug the rig into another USB port without a hub, then reinstall the bridge’s driver.',
  },
  'port-not-serial': {
    sentence: (d) => `${d.path ?? 'this'} is not a serial port${said(d)}`,
    advice: 'Take the name of a serial port from "throwbench ports".',
  },
  'port-open-failed': {
    sentence: (d) => `${port(d)} could not be opened${said(d)}`,
    advice: 'Plug the rig in again and try once more; "throwbench ports" shows what the system sees.',
  },
  'add-on-missing': {
    sentence: (d) => `the serial add-on of this program could not be loaded${said(d)}`,
    advice:
      'Run "npm rebuild @serialport/bindings-cpp" in the program’s folder. The virtual rig (--virtual) works without it.',
  },
  'no-answer': {
    sentence: (d) => `${port(d)} opened, but nothing answered${seconds(d)}`,
    advice: {
      linux:
        'Likely another device, or a board without the rig’s firmware. Check the port’s name and flash the board (RIG.md).',
      darwin:
        'Likely another device, a board without the rig’s firmware, or the tty twin of the port: use the name that starts with /dev/cu.',
    },
  },
  'not-a-rig': {
    sentence: (d) => `${port(d)} sends data, but no line of a rig came${seconds(d)}`,
    advice:
      'Likely another device, another firmware, or a bridge that cannot do 500 kBd. Check the port’s name and flash the board (RIG.md).',
  },
  'protocol-version': {
    sentence: (d) =>
      `the board on ${port(d)} speaks protocol ${d.boardVersion ?? '?'}, this program ${d.hostVersion ?? '?'}`,
    advice: 'Flash the firmware that came with this program (firmware-protocol/FLASH.md).',
  },
  'answer-unread': {
    sentence: (d) =>
      `the board on ${port(d)} answers, but this program cannot read what it tells${d.said === undefined ? '' : `: ${d.said}`}`,
    advice:
      'It is no rig that this program knows, or one with another firmware: flash the image that came with this program (firmware-protocol/FLASH.md).',
  },
  'board-unfit': {
    sentence: (d) => `the board on ${port(d)} is none that this program can read${said(d)}`,
    advice: 'Flash the image that came with this program (firmware-protocol/FLASH.md).',
  },
  'answers-late': {
    sentence: (d) =>
      `the rig on ${port(d)} answers, but too late to be driven: not once within ${amount(d.waitedS ?? 0.1, 's', 1)}`,
    advice:
      'Plug it into the computer itself, without a hub, a long extension or a network in between, and close what loads the computer.',
  },
  'other-rig': {
    sentence: (d) => `the rig on ${port(d)} is "${d.rigId ?? '?'}", not "${d.wantedRigId ?? '?'}"`,
    advice:
      'Read the name on the box, look for the right port with "throwbench ports", or ask for the rig that is there. A fresh board says "unnamed": "throwbench rig --port PORT --set-id ID" names it.',
  },
  'reply-timeout': {
    family: 'retry',
    sentence: (d) => `the rig did not answer "${d.request ?? 'a request'}"${seconds(d)}`,
    advice: 'Check cable and hub; long USB leads beside motor leads pick up noise.',
  },
  refused: {
    sentence: (d) =>
      `the rig refused "${d.request ?? 'a request'}"${d.refusal === undefined ? '' : ` (number ${d.refusal})`}: ${d.said ?? 'no reason given'}`,
    advice: 'Nothing changed on the outputs. Clear the cause that the sentence names and start again.',
  },
  'limits-not-kept': {
    sentence: (d) => `the rig on ${port(d)} does not keep the limits that it was given${said(d)}`,
    advice:
      'Nothing was energised. Flash the image that came with this program (firmware-protocol/FLASH.md), and try the trip by itself (RIG.md, section 8, step 8).',
  },
  'outputs-in-doubt': {
    sentence: (d) => `the rig on ${port(d)} may still have its outputs on${said(d)}`,
    advice:
      'Press the stop switch, and switch the supply off. Then flash the image that came with this program (firmware-protocol/FLASH.md), and look whether anything stays on (RIG.md, section 5.8).',
  },
  'link-lost': {
    family: 'disconnected',
    sentence: (d) => `the link to the rig on ${port(d)} was lost${said(d)}`,
    advice:
      'The board switches its outputs off by itself; press the stop switch if anything still runs. Check the USB cable, the hub’s power and the rig’s supply, keep motor leads away from the USB lead, and start the unit again.',
  },
  cancelled: {
    family: 'cancelled',
    sentence: () => 'the rig was let go by this program',
    advice: 'Nothing to do.',
  },
} satisfies Record<string, Trouble>;

export type LinkErrorCode = keyof typeof TROUBLES;

/** The trouble with this code. */
export const TROUBLE: Readonly<Record<LinkErrorCode, Trouble>> = TROUBLES;

const thisSystem = (): System =>
  process.platform === 'win32' || process.platform === 'darwin' ? process.platform : 'linux';

/** One line, no full stop: what happened, where. */
export function sentenceFor(code: LinkErrorCode, details: LinkErrorDetails): string {
  return TROUBLE[code].sentence(details).replace(/\s*\n\s*/g, ' ');
}

/** Likely cause and next step. `system` is this machine's unless told otherwise. */
export function adviceFor(
  code: LinkErrorCode,
  details: LinkErrorDetails,
  system: System = thisSystem(),
): string {
  const { advice } = TROUBLE[code];
  const text = typeof advice === 'string' ? advice : (advice[system] ?? advice.linux);
  return text.replaceAll('PORT', details.path ?? 'PORT');
}
