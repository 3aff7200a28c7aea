// Where the shop's server is, as it may be shown: never with what stands in the address of user and password.

import { InputError } from '../../input/index.js';

export const STORE_VARIABLE = 'THROWBENCH_STORE';

export interface ServerAddress {
  /** For the driver alone: may hold a password. */
  readonly url: string;
  /** Host and database, to be shown. */
  readonly name: string;
}

/** Undefined where no server is named. @throws InputError, which does not repeat the address */
export function serverAddress(text = process.env[STORE_VARIABLE]): ServerAddress | undefined {
  if (text === undefined || text.trim() === '') return undefined;
  const url = URL.canParse(text) ? new URL(text) : undefined;
  if (url === undefined || !/^postgres(ql)?:$/.test(url.protocol) || url.pathname.length < 2)
    throw new InputError({
      file: STORE_VARIABLE,
      what: 'is no address of a PostgreSQL database',
      mend: 'such as postgres://bench@server/shop; the password is better kept in PGPASSWORD or in the file .pgpass',
    });
  // A socket's folder stands behind the question mark.
  const host = url.host || url.searchParams.get('host') || 'localhost';
  return { url: text, name: `${host}${url.pathname}` };
}
