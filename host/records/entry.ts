// What is added to a closed run afterwards: probes made on its unit. An entry of its own in the hash chain; the run
// itself stays as it was closed.

/** One probe and what it gave. */
export interface ProbeEntry {
  kind: 'probe';
  /** By the rig's moved clip, or typed by a person. */
  source: 'rig' | 'typed';
  /** Of the probe, permanent within the style. */
  probe: string;
  /** What was done, as it was told. */
  words: string;
  /** Infinity for open. */
  value?: number;
  unit?: 'V' | 'Ohm';
  standardUncertainty?: number;
  yes?: boolean;
}

/** The last reading that stood was taken back: mistyped, or measured at a wrong place. It stays in the record. */
export interface ProbeUndoneEntry {
  kind: 'probe-undone';
  /** Of the probe whose reading it was. */
  probe: string;
  sentence: string;
}

/** What was left when a probing ended. */
export interface ProbedEntry {
  kind: 'probed';
  conclusion: 'one' | 'group' | 'unlisted' | 'broken-off';
  sentence: string;
  left: { id: string; cause: string; chance: number }[];
}

/** A sense clip left the motor's terminal, or came back and was seen there. */
export interface ClipEntry {
  kind: 'clip-moved' | 'clip-back';
  rigId: string;
  clip: 'a' | 'b';
  sentence: string;
}

export type EntryContent = ProbeEntry | ProbeUndoneEntry | ProbedEntry | ClipEntry;

export type RunEntry = EntryContent & {
  runId: string;
  /** Wall clock, ISO 8601. */
  at: string;
  toolVersion: string;
  hash?: string;
};
