// Pictures by their first bytes, held against what file(1) says of the same bytes, where this system has it.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { pictureExtension } from '../../host/commands/picture-kind.js';

const folder = mkdtempSync(join(tmpdir(), 'throwbench-pictures-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a file of a camera', () => {
  it.each([
    ['phone.heic', '\0\0\0\x18ftypheic\0\0\0\0mif1heic', '.heic', /HEIF|HEIC/i],
    ['phone', '\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\0\0\0\0', '.png', /PNG/],
    ['raw.NEF', 'II*\0\x08\0\0\0\0\0', '.nef', /TIFF/],
    ['wrong.txt', '\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x01\0\0\x01\0\x01\0\0', '.jpg', /JPEG/],
    [
      'web.webp',
      'RIFF\x1a\0\0\0WEBPVP8L\x0d\0\0\0/\0\0\0\x10\x07\x10\x11\x11\x88\x88\xfe\x07\0',
      '.webp',
      /Web\/P/,
    ],
  ])('is taken by what it is, whatever its name: %s', (name, bytes, extension, asOthersSay) => {
    const content = Buffer.from(bytes, 'latin1');
    expect(pictureExtension(content, name)).toBe(extension);
    writeFileSync(join(folder, name), content);
    const other = spawnSync('file', ['-b', join(folder, name)], { encoding: 'utf8' });
    if (other.error === undefined) expect(other.stdout).toMatch(asOthersSay);
  });
});
