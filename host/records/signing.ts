// The signing key of a shop: Ed25519 (RFC 8032) by Node's own crypto. Who edits the store can compute its hashes again,
// but not its signatures, as long as the key lies elsewhere.

import {
  createHash,
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  type KeyObject,
  sign,
  verify,
} from 'node:crypto';
import { chmodSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { displayPath } from '../input/index.js';
import { settingsPath } from '../program/index.js';
import { RecordError } from './record-error.js';

export const KEY_VARIABLE = 'THROWBENCH_KEY';
const KEY_FILE = 'shop-key.pem';

export interface PublicKey {
  /** First 16 hexadecimal digits of the SHA-256 of the key in DER (SPKI, RFC 8410). */
  keyId: string;
  /** SPKI in PEM, as openssl reads it. */
  publicKeyPem: string;
}

export interface Signer extends PublicKey {
  sign(message: Uint8Array): Uint8Array;
}

/** THROWBENCH_KEY, else beside the settings: never in the folder of the records. It need not exist. */
export function keyPath(env: NodeJS.ProcessEnv = process.env): string {
  const named = env[KEY_VARIABLE];
  return named ? resolve(named) : join(dirname(settingsPath(env)), KEY_FILE);
}

/** What is signed of a record: its place in the chain and its hash, which takes in all before it. */
export const signedBytes = (place: number, hash: string): Buffer =>
  Buffer.from(`throwbench record\n${place}\n${hash}\n`, 'utf8');

/** Undefined where the shop has no key. @throws RecordError key-unusable */
export function shopSigner(path = keyPath()): Signer | undefined {
  if (!existsSync(path)) return undefined;
  try {
    const key = createPrivateKey(readFileSync(path));
    if (key.asymmetricKeyType !== 'ed25519') throw new Error('not an Ed25519 key');
    return { ...publicOf(createPublicKey(key)), sign: (message) => sign(null, message, key) };
  } catch (error) {
    throw new RecordError(
      'key-unusable',
      `${displayPath(path)}: is no signing key that can be used (${reasonOf(error)})`,
      'put the right key there, or take the file away to work unsigned',
      { cause: error },
    );
  }
}

/** @throws RecordError key-unusable for a file that holds no Ed25519 key */
export function publicKeyOf(pem: string, file: string): PublicKey {
  try {
    const key = createPublicKey(pem);
    if (key.asymmetricKeyType !== 'ed25519') throw new Error('not an Ed25519 key');
    return publicOf(key);
  } catch (error) {
    const what = `${file}: holds no public key that can be used (${reasonOf(error)})`;
    throw new RecordError('key-unusable', what, 'name the file that log key wrote', { cause: error });
  }
}

/** The library of the keys tells its own functions, which help nobody. */
const reasonOf = (error: unknown): string =>
  String((error as { code?: string }).code ?? '').startsWith('ERR_OSSL')
    ? 'what stands in it is no key'
    : (error as Error).message;

function publicOf(key: KeyObject): PublicKey {
  const der = key.export({ type: 'spki', format: 'der' });
  return {
    keyId: createHash('sha256').update(der).digest('hex').slice(0, 16),
    publicKeyPem: key.export({ type: 'spki', format: 'pem' }).toString(),
  };
}

/** Makes a key, readable by its owner alone. @throws RecordError key-unusable where there is one already */
export function makeKey(path = keyPath()): Signer {
  if (existsSync(path))
    throw new RecordError(
      'key-unusable',
      `${displayPath(path)}: there is a key already`,
      'keep it: what it signed is proven by it alone',
    );
  const { privateKey } = generateKeyPairSync('ed25519');
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, privateKey.export({ type: 'pkcs8', format: 'pem' }), { mode: 0o600, flag: 'wx' });
  chmodSync(path, 0o600);
  return shopSigner(path) as Signer;
}

export const isSignedBy = (
  { publicKeyPem }: PublicKey,
  message: Uint8Array,
  signature: Uint8Array,
): boolean => verify(null, message, createPublicKey(publicKeyPem), signature);
