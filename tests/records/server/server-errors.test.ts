// What the driver throws, told as one line of what is wrong and one of what to do. The codes are those that PostgreSQL 15
// and Node 20 gave when each was provoked on a server of one's own (TLS with a certificate of its own making, no password,
// a wrong name); Node's list of certificate errors: nodejs.org/api/tls.html, "X509 certificate error codes".

import { describe, expect, it } from 'vitest';
import { asServerError } from '../../../host/records/server/server-errors.js';

const coded = (code: string) => Object.assign(new Error('any words'), { code });

describe('trouble with the shop’s server', () => {
  it.each([
    [coded('28P01'), 'server-refuses', 'does not let this bench in', 'PGPASSWORD'],
    [
      new Error('SASL: SCRAM-SERVER-FIRST-MESSAGE: client password must be a string'),
      ...(['server-refuses', 'asks for a password, and none is given', 'PGPASSWORD'] as const),
    ],
    [
      new Error('The server does not support SSL connections'),
      ...(['server-refuses', 'does not offer TLS', 'leave sslmode out'] as const),
    ],
    [coded('ERR_TLS_CERT_ALTNAME_INVALID'), 'server-refuses', 'for another host name', 'host name'],
    [coded('DEPTH_ZERO_SELF_SIGNED_CERT'), 'server-refuses', 'signer that is not known', 'sslrootcert=FILE'],
    [coded('UNABLE_TO_VERIFY_LEAF_SIGNATURE'), 'server-refuses', 'signer that is not known', 'sslrootcert'],
    [coded('CERT_HAS_EXPIRED'), 'server-refuses', 'certificate that does not hold', 'sslrootcert'],
    [coded('ENOENT'), 'server-refuses', 'a file named in its address cannot be read', 'sslrootcert'],
    [coded('ENOTFOUND'), 'server-away', 'no machine of that name', 'host name'],
    [coded('ECONNREFUSED'), 'server-away', 'cannot be reached (ECONNREFUSED)', 'when it is back'],
    [
      new Error('timeout exceeded when trying to connect'),
      'server-away',
      'does not answer',
      'when it is back',
    ],
  ])('%s', (thrown, code, what, mend) => {
    const told = asServerError(thrown, 'shop.example/records');
    expect(told).toMatchObject({ code, message: expect.stringContaining(what) });
    expect((told as Error).message).toContain("the shop's server shop.example/records");
    expect((told as { advice: string }).advice).toContain(mend);
  });

  it('passes on what is none of it', () => {
    const error = new Error('a mistake of the program');
    expect(asServerError(error, 'shop')).toBe(error);
  });
});
