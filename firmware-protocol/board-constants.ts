// Numbers that firmware, emulator and host share. The C header takes them from here; the board reports them at run time.

/** Protocol version: changes when a line changes its meaning. Apart from the firmware version on purpose. */
export const PROTOCOL_VERSION = 1;
/** Firmware version: changes with every image. */
export const FIRMWARE_VERSION = '1.3.0';
export const BOARD_MAKER = 'Throwbench';
export const BOARD_MODEL = 'reference-rig';

export const BOARD = {
  /** Crystal of the reference board. */
  clockHz: 16_000_000,
  /** Exact at 16 MHz with U2X and UBRR 3: 16e6 / (8 * 4) (ATmega328P data sheet, USART baud rate table). */
  baud: 500_000,
  adcBits: 10,
  /** One frame line a millisecond ... */
  frameUs: 1000,
  /** ... of eighteen conversions. */
  slotCount: 18,
  /** Shortest wait between release and the next throw that a host may set; common practice, no source. */
  deadFloorMs: 100,
  /** Common practice for reversing permanent-magnet motors, no source. */
  deadDefaultMs: 300,
  deadCeilingMs: 10_000,
  /** Without a valid line for this long every output goes off. */
  silenceMs: 250,
  holdCeilingMs: 60_000,
  /** Board's own trip limits until the host sets some: 20 A on the reference rig's scales. */
  tripMotorDefaultCounts: 256,
  tripFeedDefaultCounts: 358,
  tripSamplesDefault: 3,
  /**
   * Widest trip limits. An amplifier comes to within 0.1 V of its rails (RIG.md, section 4), 20.5 counts from either end;
   * ten more for its own error, or a current beyond its span would never reach the limit. 37.5 A and 69.3 A.
   */
  tripMotorMaxCounts: 480,
  tripFeedMaxCounts: 990,
  /** Each current is sampled once a millisecond at the least, so this many are 20 ms at the most. */
  tripSamplesMax: 20,
  /** Motor current is bidirectional around this count. */
  motorZeroCount: 512,
  /** Longest line a host may send, newline included; what is longer is dropped and refused. */
  requestMaxBytes: 64,
  /** Longest line the board sends, newline included. */
  boardLineMaxBytes: 128,
  rigIdMaxChars: 16,
  /** Samples that a burst keeps; two bytes each, the largest piece of RAM. */
  burstSamples: 384,
  /** Cycles between conversions of a burst: 47,059 a second, shared by its channels and the guard. */
  burstSlotCycles: 340,
  /** Samples in one answer to `burst-read`. */
  burstReadSamples: 60,
} as const;

/** Letters of the scan list, with the ADC input that each one reads and what stands there. */
export const SCAN_LETTERS = {
  M: { short: 'motor current', adc: 0, reads: 'motor current, positive into lead A' },
  A: { short: 'lead A', adc: 1, reads: 'lead A to ground' },
  B: { short: 'lead B', adc: 2, reads: 'lead B to ground' },
  F: { short: 'feed current', adc: 3, reads: 'feed current' },
  C: { short: 'coil current', adc: 4, reads: 'coil current' },
  S: { short: 'supply', adc: 5, reads: 'supply voltage' },
  /** From firmware 1.3 on, and only where the rig has the amplifier (RIG.md, 5.2). */
  N: {
    short: 'motor current, fine',
    adc: 6,
    reads: 'motor current, ten times as fine, up to 3.8 A; from firmware 1.3 on',
  },
} as const;
export type ScanLetter = keyof typeof SCAN_LETTERS;

/** Scan list after reset: motor current and both leads five times a frame, the rest once. Slot k is sampled k/18 ms into the frame. */
export const DEFAULT_SCAN = 'MABFMABCMABSMABMAB';
