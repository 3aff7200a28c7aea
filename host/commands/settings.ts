// What this workshop has settled: read from one file, changed by one command, each key checked by itself.

export interface Settings {
  /** Serial port of the rig. */
  port?: string;
  /** Id of the rig that must be on it. */
  rig?: string;
  /** Profile by how a tag begins; the longest beginning wins. */
  profiles?: Readonly<Record<string, string>>;
  operator?: string;
  /** What a foot switch types in place of Enter. */
  startKey?: string;
  /** One stroke for a pass, three for a fail, two for what cannot be told. */
  bell?: boolean;
  /** The short plan wherever a unit names no plan of its own. */
  short?: boolean;
}
