// The shop's signing key: made once, shown, its public half written for others.

import { rmSync } from 'node:fs';
import { displayPath } from '../input/index.js';
import { keyPath, makeKey, openStore, type PublicKey, shopSigner } from '../records/index.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { writeNew } from './write-new.js';

/** From then on every record is signed. @throws RecordError where there is one already */
export function makeShopKey(io: CommandIo, json: boolean): number {
  const { keyId, publicKeyPem } = makeKey();
  const before = named({ keyId, publicKeyPem });
  told(io, { keyId, publicKeyPem }, json);
  if (json) return EXIT.pass;
  if (before !== undefined)
    io.stdout(
      `Until now key ${before} signed here. Who verifies needs to know of both; if that key still lies somewhere, put it back in place of this one.\n`,
    );
  io.stdout(
    'Keep a copy of that file away from this computer: without it nothing more can be signed. Write the key on paper too:\nwho verifies later knows by it that the signatures are yours.\n',
  );
  return EXIT.pass;
}

/** Writes the entry that names the key, the first that it signs. Returns the id of the key that was named before it. */
function named({ keyId, publicKeyPem }: PublicKey): string | undefined {
  try {
    const store = openStore();
    try {
      const before = store.listShopEntries().findLast(({ content }) => content.kind === 'signing-key');
      store.addShopEntry({ content: { kind: 'signing-key', keyId, publicKeyPem } });
      return before?.content.kind === 'signing-key' ? before.content.keyId : undefined;
    } finally {
      store.close();
    }
  } catch (error) {
    // A key that no record names would sign on unknown; it has signed nothing yet.
    rmSync(keyPath(), { force: true });
    throw error;
  }
}

export function showShopKey(
  io: CommandIo,
  { out, json }: { out: string | undefined; json: boolean },
): number {
  const key = shopSigner();
  if (key === undefined) {
    if (out !== undefined) throw new UsageError('there is no key yet; log key new makes one');
    if (json) io.stdout(jsonText({ file: keyPath(), keyId: null }));
    else io.stdout('no key: records are chained, not signed; throwbench log key new makes one\n');
    return EXIT.pass;
  }
  if (out !== undefined) writeNew(io, out, key.publicKeyPem, `public key ${key.keyId} written`);
  if (out !== '-') told(io, key, json);
  return EXIT.pass;
}

function told(io: CommandIo, { keyId, publicKeyPem }: PublicKey, json: boolean): void {
  if (json) io.stdout(jsonText({ file: keyPath(), keyId, publicKeyPem }));
  else io.stdout(`key    ${keyId}\nfile   ${displayPath(keyPath())}\n`);
}
