// What the server or the way to it threw, sorted: one line of what is wrong and one of what to do. Codes of five
// characters are those of PostgreSQL (its manual, appendix A), the others Node's.

import { RecordError, type RecordErrorCode } from '../record-error.js';

type Trouble = readonly [sign: RegExp, code: RecordErrorCode, what: string, advice: string];

const LATER = 'records are sent when it is back';

/** The first that fits. */
const TROUBLES: readonly Trouble[] = [
  [/^57014$/, 'server-away', 'answers too slowly', LATER],
  // Before the codes of Node, which begin with E as these do.
  [
    /^ERR_TLS_CERT_ALTNAME_INVALID$/,
    'server-refuses',
    'shows a certificate for another host name',
    "write the host name of the certificate into the server's address",
  ],
  [
    /SELF_SIGNED|^UNABLE_TO_(VERIFY|GET_ISSUER)/,
    'server-refuses',
    'shows a certificate of a signer that is not known here (CODE)',
    "put ?sslmode=verify-full&sslrootcert=FILE behind the server's address: the file of that signer",
  ],
  [
    /CERT|^ERR_(TLS|SSL)/,
    'server-refuses',
    'shows a certificate that does not hold (CODE)',
    "see sslmode and sslrootcert of PostgreSQL, which go behind a question mark into the server's address",
  ],
  [
    /^(ENOENT|EACCES|EISDIR)$/,
    'server-refuses',
    'is not asked: a file named in its address cannot be read (CODE)',
    "mend sslrootcert, sslcert or sslkey in the server's address",
  ],
  [
    /^ENOTFOUND$/,
    'server-away',
    'is not found: no machine of that name (CODE)',
    `mend the host name in the server's address, or see to the network; ${LATER}`,
  ],
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
    /^[0-9A-Z]{5}$/,
    'server-failed',
    'failed (CODE)',
    'see the log of the PostgreSQL server; the records stay here',
  ],
];

/** Of the driver, which gives these no code: by their words. The first that fits. */
const UNCODED: readonly Trouble[] = [
  [
    /client password must be/i,
    'server-refuses',
    'asks for a password, and none is given',
    'put it into PGPASSWORD, or into the file .pgpass',
  ],
  [
    /does not support SSL/i,
    'server-refuses',
    'does not offer TLS, which its address asks for',
    "switch TLS on at the server, or leave sslmode out of the server's address: then nothing on the way is secret",
  ],
  [
    /timeout|terminated|not queryable|connection error|connection ended|destroyed/i,
    'server-away',
    'does not answer',
    LATER,
  ],
];

/** Passes on what is no trouble of a server. @param name of the server, as it may be shown */
export function asServerError(error: unknown, name: string): unknown {
  if (error instanceof RecordError || !(error instanceof Error)) return error;
  const code = 'code' in error && typeof error.code === 'string' ? error.code : '';
  const [said, troubles] = code === '' ? [error.message, UNCODED] : [code, TROUBLES];
  const trouble = troubles.find(([sign]) => sign.test(said));
  if (trouble === undefined) return error;
  const [, kind, what, advice] = trouble;
  return new RecordError(kind, `the shop's server ${name} ${what.replace('CODE', code)}`, advice, {
    cause: error,
  });
}
