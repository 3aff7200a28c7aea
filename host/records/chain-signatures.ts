// The signatures over a chain: whose they are, whether each holds, and what stands behind none.

import type { Database } from 'better-sqlite3';
import type { About, ChainFault, Link } from './chain-link.js';
import { isSignedBy, type PublicKey, signedBytes } from './signing.js';

export interface SignaturesFound {
  /** Records that are signed. */
  signed: number;
  /** Records before the first signed one: its hash takes them in. */
  before: number;
  /** Of the keys that signed, in the order in which they came. */
  keyIds: string[];
  /** Of the key that they were held against: of the shop, or of `--key`; absent where only the store itself names one. */
  heldAgainst?: string;
  /** Empty where every signature holds and nothing stands behind the last one. */
  faults: ChainFault[];
}

/** What a chain has of signatures, wherever it is kept. */
export interface SignaturesKept {
  signatures: readonly { place: number; key_id: string; signature: Uint8Array }[];
  /** That its own entries name. */
  keys: readonly PublicKey[];
}

export const signaturesIn = (database: Database): SignaturesKept => ({
  signatures: database
    .prepare('SELECT place, key_id, signature FROM signatures')
    .all() as SignaturesKept['signatures'][number][],
  keys: database
    .prepare(
      `SELECT content_json ->> '$.keyId' AS keyId, content_json ->> '$.publicKeyPem' AS publicKeyPem
       FROM shop_entries WHERE kind = 'signing-key' ORDER BY id`,
    )
    .all() as PublicKey[],
});

export class SignatureCheck {
  readonly #signatures: Map<number, SignaturesKept['signatures'][number]>;
  readonly #keys: Map<string, PublicKey>;
  readonly #faults: ChainFault[] = [];
  readonly #keyIds = new Set<string>();
  #signed = 0;
  #before = 0;
  /** Behind the last signed one, or signed by another key than the shop's. */
  #unproven = 0;
  #last: About = {};

  constructor(
    { signatures, keys }: SignaturesKept,
    private readonly key: PublicKey | undefined,
  ) {
    this.#signatures = new Map(signatures.map((row) => [row.place, row]));
    this.#keys = new Map([...keys, ...(key ? [key] : [])].map((one) => [one.keyId, one]));
  }

  /** Link by link, as they stand in the chain. */
  take(link: Pick<Link, 'place' | 'hash'>, of: About): void {
    const found = this.#signatures.get(link.place);
    this.#last = of;
    if (found === undefined) {
      if (this.#signed === 0) this.#before += 1;
      else this.#unproven += 1;
      return;
    }
    this.#signed += 1;
    this.#keyIds.add(found.key_id);
    const key = this.#keys.get(found.key_id);
    if (key === undefined)
      this.#faults.push({ ...of, sentence: `it is signed by key ${found.key_id}, which nobody knows` });
    else if (!isSignedBy(key, signedBytes(link.place, link.hash), found.signature))
      this.#faults.push({
        ...of,
        sentence: 'its signature does not hold: it was changed after it was signed',
      });
    // Only the shop's own key proves all that stands before.
    this.#unproven = this.key === undefined || found.key_id === this.key.keyId ? 0 : this.#unproven + 1;
  }

  found(): SignaturesFound {
    const faults = [...this.#faults];
    if (this.#unproven > 0)
      faults.push({
        ...this.#last,
        sentence: `the newest ${this.#unproven === 1 ? 'record is' : `${this.#unproven} records are`} not signed by ${this.key === undefined ? 'any key' : "the shop's key"}`,
      });
    else if (this.key !== undefined && this.#signed === 0 && this.#before > 0)
      faults.push({ sentence: 'the shop has a key, and no record is signed by it' });
    return {
      ...{ signed: this.#signed, before: this.#before, keyIds: [...this.#keyIds] },
      ...(this.key === undefined ? {} : { heldAgainst: this.key.keyId }),
      faults,
    };
  }
}
