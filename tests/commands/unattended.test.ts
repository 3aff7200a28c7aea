// A switch that a person must throw, and nobody there: refused in one line that names the profile for such a bench, before
// any port is opened. A virtual bench brings its own hand.

import { describe, expect, it } from 'vitest';
import { UsageError } from '../../host/commands/command.js';
import { makeRunCommand } from '../../host/commands/verbs/run.js';
import { call } from './call.js';

const opened = new Error('the bench was opened');
const command = makeRunCommand(() => Promise.reject(opened));
const onPort = (profile: string, terminal = {}) =>
  call(command, ['--profile', profile, '--unit', 'V-0107', '--port', '/dev/none'], '/', terminal);

describe('a run in a pipe without a person', () => {
  it.each([
    ['roof-vent-switch', 'roof-vent-stand-in'],
    ['window-lift-switch', 'window-lift-stand-in'],
    ['switch-harness-load', 'switch-harness-load-stand-in'],
  ])('refuses %s and names %s', async (byHand, standIn) => {
    const refused = onPort(byHand);
    await expect(refused).rejects.toThrow(UsageError);
    await expect(refused).rejects.toThrow(
      `${byHand} is thrown by hand, and nobody sits here; name --profile ${standIn} for a bench without a person: the rig's stand-in throws, the switch is not tested`,
    );
  });

  it.each(['roof-vent-stand-in', 'entry-step-relays', 'window-lift-alone'])(
    'goes on to the bench with %s',
    (profile) => expect(onPort(profile)).rejects.toBe(opened),
  );

  it('goes on where a person sits at standard input, whatever reads standard output', () =>
    expect(onPort('roof-vent-switch', { isAttended: true })).rejects.toBe(opened));

  it('goes on at a virtual bench', () =>
    expect(
      call(command, ['--profile', 'roof-vent-switch', '--unit', 'V-1', '--virtual', 'roof-vent-good'], '/'),
    ).rejects.toBe(opened));
});
