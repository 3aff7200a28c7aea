// Lines of what talks at a terminal: no word broken at its edge, one sign before a number, a name of a file as it is read.

import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { correctionWords } from '../../host/commands/calibrate-text.js';
import { Dialogue } from '../../host/commands/profile/dialogue.js';
import { idOf } from '../../host/commands/profile/questions.js';
import { saysUnknown } from '../../host/input/index.js';
import { gathering } from './call.js';

describe('a talk in lines', () => {
  it('breaks what it tells and asks between words at a terminal, and not at all in a pipe', async () => {
    const long = `${'Hands clear? '.repeat(9)}Switch it on?`;
    for (const isTty of [true, false]) {
      const { io, written } = gathering(process.cwd());
      const stdin = new PassThrough();
      stdin.end('\n');
      const dialogue = new Dialogue({ ...io, isTty, columns: 80, stdin });
      dialogue.tell(`  ${long}`);
      await dialogue.text(long, 'yes', () => undefined);
      dialogue.close();
      const widest = Math.max(...written.stdout.split('\n').map((line) => line.length));
      if (isTty) expect(widest).toBeLessThan(80);
      else expect(widest).toBeGreaterThan(100);
      expect(written.stdout).not.toMatch(/\b(Han|Switc)\n/);
    }
  });

  it.each([
    [-0.0151, '(reading + 0.0151) x 1.0000'],
    [0.4, '(reading - 0.400) x 1.0000'],
    [0, '(reading - 0.00) x 1.0000'],
  ])('tells the correction by a zero of %f with one sign', (zero, words) => {
    expect(correctionWords({ zero, gain: 1 })).toBe(words);
  });

  it.each(["don't know", 'I do not know', '?', '-', 'No idea'])('takes %s for not knowing', (answer) => {
    expect(saysUnknown(answer)).toBe(true);
  });

  it.each([
    ['Türöffner', 'turoffner'],
    ['Fußstütze, links', 'fussstutze-links'],
    ['  Seat  (2nd row) ', 'seat-2nd-row'],
  ])('names the files of %s as it is read', (title, id) => {
    expect(idOf(title)).toBe(id);
  });
});
