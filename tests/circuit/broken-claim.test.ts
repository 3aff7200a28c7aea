// A style of one's own that is right in every key and yet does not do what it says. By hand: what each of these circuits
// does follows from the joints alone.

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { brokenClaim, nominalInput } from '../../host/circuit/index.js';
import {
  circuitStyleSchema,
  listProfiles,
  loadCircuit,
  loadUnit,
  YamlFile,
} from '../../host/profile/index.js';

const RELAYS = loadUnit('entry-step-relays');

type Change = readonly [from: string | RegExp, to: string];

function claimOf(id: string, ...changes: Change[]) {
  let text = readFileSync(`profiles/circuits/${id}.yaml`, 'utf8');
  for (const [from, to] of changes) {
    expect(text).toMatch(from);
    text = text.replace(from, to);
  }
  const style = circuitStyleSchema.parse(YamlFile.parse(text, 'own.yaml').value());
  const found = brokenClaim(nominalInput({ ...RELAYS, style }));
  return found && `${found.place.join('.')}: ${found.what}; ${found.mend}`;
}

const SWITCH = 'switch-carried-open-rest';
const PAIR = 'relay-pair-ground-thrown';
const LEAD_A = '  - { id: lead-a,';

describe('what a circuit says of itself', () => {
  it.each(listProfiles('circuit').map(({ id }) => id))('%s holds it', (id) => {
    expect(brokenClaim(nominalInput({ ...RELAYS, style: loadCircuit(id) }))).toBeUndefined();
  });

  it('straight jumpers turn the motor one way only', () => {
    expect(claimOf(SWITCH, ['a: a1, b: b2', 'a: a1, b: b1'], ['a: a2, b: b1', 'a: a2, b: b2'])).toBe(
      'polarity.reverse: thrown in reverse lead A of the motor is positive against lead B; write positive, or correct jumpers, leads or positions',
    );
  });

  it('a rest contact without ground lets nothing back', () => {
    expect(claimOf(PAIR, [/ {2}- \{ id: k1-87a-ground.*\n/, ''])).toBe(
      'positions.reverse: thrown in reverse the motor gets nothing; join what is missing on its way from feed to ground, or write polarity reverse: none',
    );
  });

  it('a motor without leads gets nothing', () => {
    expect(claimOf(SWITCH, [/ {2}- \{ id: lead-a.*\n/, ''], [/ \{lead-a\}/g, ''])).toMatch(
      /^positions.forward: thrown forward the motor gets nothing; /,
    );
  });

  it('a short is named with the throw that makes it', () => {
    const across = (a: string, b: string): Change => [
      LEAD_A,
      `  - { id: stray, kind: wire, title: stray wire, a: ${a}, b: ${b} }\n${LEAD_A}`,
    ];
    expect(claimOf(SWITCH, across('rig.feed', 'rig.ground'))).toMatch(
      /^positions.rest: with nothing thrown the feed is shorted: \d+ A flow past the motor; /,
    );
    expect(claimOf(SWITCH, across('a1', 'a2'))).toMatch(
      /^positions.forward: thrown forward the feed is shorted: \d+ A flow past the motor; /,
    );
  });

  it('a motor that runs with nothing thrown, or against what its polarity says', () => {
    expect(claimOf(SWITCH, ['rest: { switch: rest }', 'rest: { switch: forward }'])).toBe(
      'positions.rest: with nothing thrown the motor is driven; open a contact, or correct this line',
    );
    expect(
      claimOf(SWITCH, ['forward: positive, reverse: negative', 'forward: negative, reverse: positive']),
    ).toMatch(
      /^polarity.forward: thrown forward lead A of the motor is positive against lead B; write positive, /,
    );
    expect(claimOf(SWITCH, ['reverse: negative', 'reverse: none'])).toMatch(
      /^polarity.reverse: thrown in reverse lead A of the motor is negative against lead B; write negative, or open a contact/,
    );
  });

  it('a second switch is held to the same', () => {
    expect(
      claimOf('main-and-remote-switch', [/(stations:[\s\S]*?forward:)(.*)(\n\s*reverse:)(.*)/, '$1$4$3$2']),
    ).toMatch(/^stations\.[\w-]+\.positions|^polarity.forward: /);
  });
});
