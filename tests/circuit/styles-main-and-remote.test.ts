// Main and remote switch in series: which presses fail tells the contact. Derived from circuit equations; U is lead A,
// D lead B, a press of U makes lead A high.

import { describe, expect, it } from 'vitest';
import { readStyle, symptom, told } from './symptom-bench.js';

const STYLE = readStyle('main-and-remote-switch');

/** Faults that must read alike, then main U, main D, remote U, remote D; `ok` runs the right way. */
const ROWS: readonly [faults: string, mainU: string, mainD: string, remoteU: string, remoteD: string][] = [
  ['main-a-rest-open', 'ok', 'dead H/H', 'ok', 'dead H/H'],
  ['main-b-rest-open', 'dead H/H', 'ok', 'dead H/H', 'ok'],
  ['main-a-thrown-open', 'dead L/L', 'ok', 'ok', 'ok'],
  ['main-b-thrown-open', 'ok', 'dead L/L', 'ok', 'ok'],
  ['remote-a-rest-open', 'dead L/L', 'dead H/H', 'ok', 'dead H/H'],
  ['wire-a-open', 'dead L/L', 'dead H/H', 'ok', 'dead H/H'],
  ['remote-b-rest-open', 'dead H/H', 'dead L/L', 'dead H/H', 'ok'],
  ['wire-b-open', 'dead H/H', 'dead L/L', 'dead H/H', 'ok'],
  ['remote-a-thrown-open', 'ok', 'ok', 'dead L/L', 'ok'],
  ['remote-b-thrown-open', 'ok', 'ok', 'ok', 'dead L/L'],
  ['lock-out-on-open', 'ok', 'ok', 'dead L/L', 'dead L/L'],
  ['remote-feed-open', 'ok', 'ok', 'dead L/L', 'dead L/L'],
  ['ground-open', 'dead H/H', 'dead H/H', 'dead H/H', 'dead H/H'],
  ['motor-open', 'dead H/L', 'dead L/H', 'dead H/L', 'dead L/H'],
];

describe('main and remote switch', () => {
  it.each(ROWS)('%s: main U %s, main D %s, remote U %s, remote D %s', (fault, ...expected) => {
    const presses = [
      { position: 'forward' },
      { position: 'reverse' },
      { position: 'forward', station: 'remote' },
      { position: 'reverse', station: 'remote' },
    ] as const;
    const seen = presses.map((press) => {
      const word = told(symptom(STYLE, { faults: [fault], ...press }).thrown);
      return word === (press.position === 'forward' ? '+' : '-') ? 'ok' : word;
    });
    expect(seen).toEqual(expected);
  });
});
