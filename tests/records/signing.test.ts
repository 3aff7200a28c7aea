// The signing key of the shop: what is signed, who can check it, and what an editor of the store cannot do without it.
// Outside: openssl checks signatures (Ed25519, RFC 8032) and hashes (SHA-256, FIPS 180-4) over the documented form.

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { makeKey, openStore, publicKeyOf, type Store, shopSigner } from '../../host/records/index.js';
import { begin, capture, judgement } from './example-run.js';

let folder: string;
const before = process.env.THROWBENCH_KEY;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'throwbench-signing-'));
  process.env.THROWBENCH_KEY = join(folder, 'elsewhere', 'key.pem');
});
afterEach(() => {
  if (before === undefined) delete process.env.THROWBENCH_KEY;
  else process.env.THROWBENCH_KEY = before;
  rmSync(folder, { recursive: true, force: true });
});

const logs = (): string => join(folder, 'logs');
function inStore<T>(ask: (store: Store) => T): T {
  const store = openStore(logs());
  try {
    return ask(store);
  } finally {
    store.close();
  }
}
const tested = (): string =>
  inStore((store) => {
    const runId = store.beginRun(begin());
    store.finishRun(runId, { capture: capture(10), judgement: judgement('fail') });
    return runId;
  });
function withKey(): void {
  const { keyId, publicKeyPem } = makeKey();
  inStore((store) => store.addShopEntry({ content: { kind: 'signing-key', keyId, publicKeyPem } }));
}
const database = (): Sqlite.Database => new Sqlite(join(logs(), 'throwbench.sqlite'));
const faults = (isKnown = true) =>
  inStore((store) => {
    const { faults, signatures } = store.verify(undefined, isKnown ? shopSigner() : undefined);
    return {
      chain: faults.map(({ sentence }) => sentence),
      signed: signatures.faults.map(({ sentence }) => sentence),
    };
  });
const openssl = (...args: string[]): string => execFileSync('openssl', args, { encoding: 'utf8' });

describe("the shop's key", () => {
  it('signs every record from its day on, and takes in those before', () => {
    tested();
    withKey();
    tested();
    const { signatures } = inStore((store) => store.verify(undefined, shopSigner()));
    expect(signatures).toMatchObject({ signed: 2, before: 1, faults: [] });
    expect(signatures.keyIds).toEqual([signatures.heldAgainst]);
  });

  it('is readable by its owner alone, never made twice, and lies outside of the records', () => {
    withKey();
    expect(statSync(process.env.THROWBENCH_KEY!).mode & 0o777).toBe(0o600);
    expect(() => makeKey()).toThrow(/there is a key already/);
    writeFileSync(process.env.THROWBENCH_KEY!, 'nonsense');
    expect(() => inStore(() => 0)).toThrow(/is no signing key that can be used/);
  });

  it('is what openssl verifies, over the hash that openssl computes from the canonical form', () => {
    withKey();
    const file = (name: string, content: string | Uint8Array): string => {
      writeFileSync(join(folder, name), content);
      return join(folder, name);
    };
    const db = database();
    const link = db.prepare('SELECT place, previous_hash, hash FROM chain').get() as {
      place: number;
      previous_hash: string;
      hash: string;
    };
    const row = db.prepare('SELECT * FROM shop_entries').get() as Record<string, unknown>;
    const { signature } = db.prepare('SELECT signature FROM signatures').get() as { signature: Buffer };
    db.close();
    // By DEVELOPERS.md, made here by another serialiser: keys sorted, no blanks, empty columns left out.
    const filled = Object.fromEntries(
      Object.entries(row)
        .filter(([, value]) => value !== null)
        .sort(([a], [b]) => (a < b ? -1 : 1)),
    );
    const content = file('content', `${link.previous_hash}\n${JSON.stringify({ shopEntry: filled })}`);
    expect(openssl('dgst', '-sha256', '-r', content).slice(0, 64)).toBe(link.hash);
    const { publicKeyPem } = JSON.parse(row.content_json as string) as { publicKeyPem: string };
    const key = file('public.pem', publicKeyPem);
    const message = file('message', `throwbench record\n${link.place}\n${link.hash}\n`);
    const verify = (signed: string): string =>
      openssl(
        'pkeyutl',
        '-verify',
        '-pubin',
        '-inkey',
        key,
        '-rawin',
        '-in',
        signed,
        '-sigfile',
        file('signature', signature),
      );
    expect(verify(message)).toMatch(/Verified Successfully/);
    expect(() => verify(file('other', `throwbench record\n${link.place + 1}\n${link.hash}\n`))).toThrow();
    // And the key's id is the beginning of the SHA-256 of its DER.
    openssl('pkey', '-pubin', '-in', key, '-outform', 'DER', '-out', join(folder, 'public.der'));
    expect(openssl('dgst', '-sha256', '-r', join(folder, 'public.der')).slice(0, 16)).toBe(
      publicKeyOf(publicKeyPem, 'x').keyId,
    );
  });
});

/** What somebody with the store and this program, but without the key, can do: edit, and compute the chain again. */
function forge(sql: string, { isSigned = false } = {}): void {
  const db = database();
  db.pragma('foreign_keys = OFF');
  const links = db.prepare('SELECT * FROM chain WHERE run_id IS NOT NULL').all() as {
    place: number;
    run_id: string;
  }[];
  db.exec(sql);
  db.close();
  // The newest run again, by an honest program that has no key.
  const key = process.env.THROWBENCH_KEY;
  process.env.THROWBENCH_KEY = isSigned ? join(folder, 'false.pem') : join(folder, 'none.pem');
  if (isSigned) makeKey();
  const again = database();
  again.pragma('foreign_keys = OFF');
  again.exec(`DELETE FROM signatures WHERE place >= ${links.at(-1)!.place}; DELETE FROM chain WHERE place >= ${links.at(-1)!.place};
    DELETE FROM checks; DELETE FROM captures; DELETE FROM runs;`);
  again.close();
  tested();
  process.env.THROWBENCH_KEY = key;
}

describe('somebody who edits the store without the key', () => {
  it('leaves a whole chain whose newest record is not signed', () => {
    withKey();
    tested();
    forge('SELECT 1');
    expect(faults()).toEqual({ chain: [], signed: ["the newest record is not signed by the shop's key"] });
    expect(faults(false)).toEqual({ chain: [], signed: ['the newest record is not signed by any key'] });
  });

  it('is found when another key signs', () => {
    withKey();
    tested();
    forge('SELECT 1', { isSigned: true });
    const { chain, signed } = faults();
    expect(chain).toEqual([]);
    expect(signed[0]).toMatch(/^it is signed by key [0-9a-f]{16}, which nobody knows$/);
    expect(signed[1]).toBe("the newest record is not signed by the shop's key");
  });

  it('is found when every signature is taken out, or one is put under another record', () => {
    withKey();
    tested();
    const db = database();
    db.exec('UPDATE signatures SET place = place + 10; UPDATE signatures SET place = 13 - place');
    db.close();
    expect(faults().signed).toEqual(
      Array(2).fill('its signature does not hold: it was changed after it was signed'),
    );
    const again = database();
    again.exec('DELETE FROM signatures');
    again.close();
    expect(faults().signed).toEqual(['the shop has a key, and no record is signed by it']);
  });
});
