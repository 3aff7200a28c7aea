// What the server or the way to it threw, sorted: one line of what is wrong and one of what to do. Codes of five
// characters are those of PostgreSQL (its manual, appendix A), the others Node's.

import { RecordError, type RecordErrorCode } from '../record-error.js';

type Trouble = readonly [codes: RegExp, code: RecordErrorCode, what: string, advice: string];

const LATER = 'records are sent when it is back';

/** The first that fits. */
const TROUBLES: readonly Trouble[] = [
  [/^57014$/, 'server-away', 'answers too slowly', LATER],
  [/^(08...|57P..|53300|E[A-Z_]+)$/, 'server-away', 'cannot be reached (CODE)', LATER],
  [/^53...$/, 'server-full', 'has no room left (CODE)', 'free some space on its disk; the records stay here'],
  [
    /^28...$/,
    'server-refuses',
    'does not let this bench in',
    "check the user in the server's address, and its password in PGPASSWORD or the file .pgpass",
  ],
  [
    /^3D000$/,
    'server-refuses',
    'has no such database',
    "make the database on the server, or mend its name in the server's address",
  ],
  [
    /^(42501|25006)$/,
    'server-refuses',
    'does not let this bench write there (CODE)',
    'give its user the right to make tables in the database and to write them',
  ],
  [/^(42P01|3F000)$/, 'server-not-set-up', 'is not set up yet', 'throwbench store setup does it'],
  [
    /CERT|^ERR_(TLS|SSL)/,
    'server-refuses',
    'shows a certificate that does not hold (CODE)',
    "see sslmode and sslrootcert of PostgreSQL, which go behind a question mark into the server's address",
  ],
  [
    /^[0-9A-Z]{5}$/,
    'server-failed',
    'failed (CODE)',
    'see the log of the PostgreSQL server; the records stay here',
  ],
];

/** Of the driver, which gives these no code. */
const BROKEN_OFF =
  /timeout|terminated|not queryable|connection error|connection ended|does not support SSL|destroyed/i;

/** Passes on what is no trouble of a server. @param name of the server, as it may be shown */
export function asServerError(error: unknown, name: string): unknown {
  if (error instanceof RecordError || !(error instanceof Error)) return error;
  const code = 'code' in error && typeof error.code === 'string' ? error.code : '';
  if (code === '' && BROKEN_OFF.test(error.message))
    return new RecordError('server-away', `the shop's server ${name} does not answer`, LATER, {
      cause: error,
    });
  const trouble = TROUBLES.find(([codes]) => codes.test(code));
  if (trouble === undefined) return error;
  const [, kind, what, advice] = trouble;
  return new RecordError(kind, `the shop's server ${name} ${what.replace('CODE', code)}`, advice, {
    cause: error,
  });
}
