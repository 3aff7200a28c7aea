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

  it('a rest that joins the leads brakes, one that joins nothing coasts', () => {
    const rest = (id: string, restState: string, release: string) =>
      claimOf(id, [/restState: \w+/, `restState: ${restState}`], [/release: \w+/, `release: ${release}`]);
    expect(rest(SWITCH, 'open', 'brake')).toBe(
      'release: no path joins the leads of the released motor: it coasts; write release: coast, or correct what is joined at rest',
    );
    expect(rest(SWITCH, 'grounded', 'coast')).toBe(
      'restState: with nothing thrown no path joins the motor leads; write restState: open, or correct what is joined at rest',
    );
    expect(rest(PAIR, 'grounded', 'coast')).toMatch(
      /^release: a path joins .*: it brakes; write release: brake/,
    );
    expect(rest(PAIR, 'high', 'brake')).toMatch(
      /^restState: with nothing thrown both motor leads are joined to ground; write restState: grounded/,
    );
    expect(rest('relay-pair-rests-high', 'grounded', 'brake')).toMatch(
      /^restState: with nothing thrown both motor leads are joined to the feed; write restState: high/,
    );
    expect(rest('single-relay', 'open', 'brake')).toMatch(/^release: no path joins /);
  });

  it('a motor that is fed past the relay or the shunts of the rig', () => {
    expect(claimOf(SWITCH, ['a: rig.feed, b: c1', 'a: rig.supply, b: c1'])).toBe(
      "positions.forward: thrown forward the motor's current comes past the rig's feed, whose relay could not switch it off; join the wire that feeds the motor to rig.feed alone, or correct this line",
    );
    expect(claimOf(PAIR, ['a: rig.feed, b: feed-joint', 'a: rig.coil-feed, b: feed-joint'])).toMatch(
      /^positions.forward: thrown forward the motor's current comes past the rig's feed, /,
    );
    expect(claimOf(SWITCH, ['b: rig.lead-a', 'b: rig.motor-a'])).toMatch(
      /^positions.forward: thrown forward the motor's current flows past where motorCurrentA is read; /,
    );
  });

  it('a second switch is held to the same', () => {
    expect(
      claimOf('main-and-remote-switch', [/(stations:[\s\S]*?forward:)(.*)(\n\s*reverse:)(.*)/, '$1$4$3$2']),
    ).toMatch(/^stations\.[\w-]+\.positions|^polarity.forward: /);
  });
});
