// What an operator reads when the link has trouble: one sentence of what happened, one of the likely cause and the
// next step, with the fix for the operating system at hand. Wording only; which error it is was decided elsewhere.
// The remedies are common practice on each system; none comes from a standard.

import type { LinkErrorCode, LinkErrorDetails } from './link-error.js';

export type System = 'linux' | 'darwin' | 'win32';

const thisSystem = (): System =>
  process.platform === 'win32' || process.platform === 'darwin' ? process.platform : 'linux';

const port = ({ path }: LinkErrorDetails): string => (path === undefined ? 'the port' : `port ${path}`);
const said = ({ said: words }: LinkErrorDetails): string => (words === undefined ? '' : ` (${words})`);
const seconds = ({ waitedS }: LinkErrorDetails): string =>
  waitedS === undefined ? '' : ` within ${Number(waitedS.toFixed(1))} s`;

const SENTENCES: Record<LinkErrorCode, (details: LinkErrorDetails) => string> = {
  'port-not-found': (d) => `${port(d)} does not exist${said(d)}`,
  'port-permission': (d) => `no permission to open ${port(d)}${said(d)}`,
  'port-busy': (d) => `${port(d)} is held by another program${said(d)}`,
  'port-driver-fault': (d) => `the driver of ${port(d)} reports a fault${said(d)}`,
  'port-not-serial': (d) => `${d.path ?? 'this'} is not a serial port${said(d)}`,
  'port-open-failed': (d) => `${port(d)} could not be opened${said(d)}`,
  'add-on-missing': (d) => `the serial add-on of this program could not be loaded${said(d)}`,
  'no-answer': (d) => `${port(d)} opened, but nothing answered${seconds(d)}`,
  'not-a-rig': (d) => `${port(d)} sends data, but no line of a rig came${seconds(d)}`,
  'protocol-version': (d) =>
    `the board on ${port(d)} speaks protocol ${d.boardVersion ?? '?'}, this program ${d.hostVersion ?? '?'}`,
  'other-rig': (d) => `the rig on ${port(d)} is "${d.rigId ?? '?'}", not "${d.wantedRigId ?? '?'}"`,
  'reply-timeout': (d) => `the rig did not answer "${d.request ?? 'a request'}"${seconds(d)}`,
  refused: (d) =>
    `the rig refused "${d.request ?? 'a request'}"${d.refusal === undefined ? '' : ` (number ${d.refusal})`}: ${d.said ?? 'no reason given'}`,
  'link-lost': (d) => `the link to the rig on ${port(d)} was lost${said(d)}`,
  cancelled: () => 'the rig was let go by this program',
};

type Advice = string | ((details: LinkErrorDetails) => string) | Record<System, string>;

const ADVICE: Record<LinkErrorCode, Advice> = {
  'port-not-found':
    'Plug the rig in and take the name from "throwbench ports"; a port often gets another name when it is plugged in again.',
  'port-permission': {
    linux:
      'Your user may not use serial ports. Run "sudo usermod -aG dialout $USER" (group uucp on Arch), then log out and in again.',
    darwin:
      'Allow your terminal to use accessories under System Settings, Privacy and Security, then plug the rig in again.',
    win32:
      'Windows answers "access denied" while another program holds the port or the driver is stuck: close serial monitors, wait 5 s, plug the rig in again.',
  },
  'port-busy': {
    linux:
      'Close serial monitors and other copies of this program ("fuser -v PORT" names the holder). ModemManager holds a new port for about 10 s after it is plugged in: wait, or exclude the rig with a udev rule setting ENV{ID_MM_DEVICE_IGNORE}="1".',
    darwin:
      'Close serial monitors and other copies of this program ("lsof PORT" names the holder), then try again.',
    win32:
      'Close serial monitors and other copies of this program; if none is open, plug the rig in again and wait 5 s.',
  },
  'port-driver-fault':
    'Usually the USB bridge or its driver: plug the rig into another USB port without a hub, then reinstall the bridge’s driver.',
  'port-not-serial': 'Take the name of a serial port from "throwbench ports".',
  'port-open-failed':
    'Plug the rig in again and try once more; "throwbench ports" shows what the system sees.',
  'add-on-missing':
    'Run "npm rebuild @serialport/bindings-cpp" in the program’s folder. The virtual rig (--virtual) works without it.',
  'no-answer': {
    linux:
      'Likely another device, or a board without the rig’s firmware. Check the port’s name and flash the board (RIG.md).',
    darwin:
      'Likely another device, a board without the rig’s firmware, or the tty twin of the port: use the name that starts with /dev/cu.',
    win32:
      'Likely another device, or a board without the rig’s firmware. Check the port’s name and flash the board (RIG.md).',
  },
  'not-a-rig':
    'Likely another device, another firmware, or a bridge that cannot do 500 kBd. Check the port’s name and flash the board (RIG.md).',
  'protocol-version': 'Flash the firmware that came with this program (RIG.md, section on flashing).',
  'other-rig':
    'Read the name on the box, look for the right port with "throwbench ports", or ask for the rig that is there. A fresh board says "unnamed": "throwbench rig --port PORT --set-id ID" names it.',
  'reply-timeout': 'Check cable and hub; long USB leads beside motor leads pick up noise.',
  refused: 'Nothing changed on the outputs. Clear the cause that the sentence names and start again.',
  'link-lost':
    'The board switches its outputs off by itself. Check the USB cable, the hub’s power and the rig’s supply, keep motor leads away from the USB lead, and start the unit again.',
  cancelled: 'Nothing to do.',
};

/** One line, no full stop: what happened, where. */
export function sentenceFor(code: LinkErrorCode, details: LinkErrorDetails): string {
  return SENTENCES[code](details).replace(/\s*\n\s*/g, ' ');
}

/** Likely cause and next step. `system` is this machine's unless told otherwise. */
export function adviceFor(
  code: LinkErrorCode,
  details: LinkErrorDetails,
  system: System = thisSystem(),
): string {
  const advice = ADVICE[code];
  const text =
    typeof advice === 'string' ? advice : typeof advice === 'function' ? advice(details) : advice[system];
  return text.replaceAll('PORT', details.path ?? 'PORT');
}
