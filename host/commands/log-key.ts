// The shop's signing key: made once, shown, its public half written for others.

import { displayPath } from '../input/index.js';
import { keyPath, makeKey, openStore, type PublicKey, shopSigner } from '../records/index.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { writeNew } from './write-new.js';

/** From then on every record is signed. @throws RecordError where there is one already */
export function makeShopKey(io: CommandIo, json: boolean): number {
  const { keyId, publicKeyPem } = makeKey();
  // Opened with the new key: the entry that names it is the first that it signs.
  const store = openStore();
  try {
    store.addShopEntry({ content: { kind: 'signing-key', keyId, publicKeyPem } });
  } finally {
    store.close();
  }
  told(io, { keyId, publicKeyPem }, json);
  if (!json)
    io.stdout(
      'Keep a copy of that file away from this computer: without it nothing more can be signed. Write the key on paper too:\nwho verifies later knows by it that the signatures are yours.\n',
    );
  return EXIT.pass;
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
