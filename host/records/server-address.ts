// Where the shop's server is, as it may be shown: never with what stands in the address of user and password.

import { InputError } from '../input/index.js';

export const STORE_VARIABLE = 'THROWBENCH_STORE';

export interface ServerAddress {
  /** For the driver alone: may hold a password. */
  readonly url: string;
  /** Host and database, to be shown. */
  readonly name: string;
}

/** An address as somebody wrote it, and where. */
export interface WrittenAddress {
  text: string;
  /** The variable, or the settings file and its key. */
  place: string;
}

/** Undefined where no server is named. @throws InputError, which does not repeat the address */
export function serverAddress(
  text: string | undefined = process.env[STORE_VARIABLE],
  place = STORE_VARIABLE,
): ServerAddress | undefined {
  if (text === undefined || text.trim() === '') return undefined;
  const url = parsed(text);
  if (url === undefined)
    throw new InputError({
      file: place,
      what: 'is no address of a PostgreSQL database',
      mend: 'such as postgres://bench@server/shop; the password is better kept in PGPASSWORD or in the file .pgpass',
    });
  // A socket's folder stands behind the question mark.
  const host = url.host || url.searchParams.get('host') || 'localhost';
  return { url: text, name: `${host}${url.pathname}` };
}

function parsed(text: string): URL | undefined {
  const url = URL.canParse(text) ? new URL(text) : undefined;
  return url !== undefined && /^postgres(ql)?:$/.test(url.protocol) && url.pathname.length >= 2
    ? url
    : undefined;
}

/** What the driver takes behind the question mark and nobody is to see. */
const SECRET = /password/i;

/** The address with dots in place of a password; nothing of a text that is no address. */
export function addressShown(text: string): string {
  const url = parsed(text);
  if (url === undefined) return HIDDEN;
  const user = `${url.username}${url.password === '' ? '' : `:${HIDDEN}`}`;
  const asked = [...url.searchParams].map(([key, value]) => `${key}=${SECRET.test(key) ? HIDDEN : value}`);
  return `${url.protocol}//${user}${user === '' ? '' : '@'}${url.host}${url.pathname}${asked.length === 0 ? '' : `?${asked.join('&')}`}`;
}

const HIDDEN = '***';

/** Whether a password stands in it. */
export const holdsPassword = (text: string): boolean => addressShown(text).includes(HIDDEN);
