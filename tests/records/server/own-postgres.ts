// A PostgreSQL of one test file's own, in a temporary folder: started, killed as by a power cut, started again. Debian's
// package puts the programs beside the path. The gate installs it, so that its absence there is a failure, not a skip.

import { execFileSync } from 'node:child_process';
import {
  chownSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';

/** Folder of initdb, pg_ctl and postgres; undefined where there is none. */
const PROGRAMS = ((): string | undefined => {
  const debian = '/usr/lib/postgresql';
  const versions = existsSync(debian) ? readdirSync(debian).sort((a, b) => Number(b) - Number(a)) : [];
  const folders = [
    ...(process.env.PATH ?? '').split(':'),
    ...versions.map((version) => join(debian, version, 'bin')),
  ];
  return folders.find((folder) => existsSync(join(folder, 'initdb')) && existsSync(join(folder, 'pg_ctl')));
})();

export const isSkipped = PROGRAMS === undefined && !process.env.CI;
export const skipNote = isSkipped
  ? ' (skipped: PostgreSQL is not installed; apt-get install postgresql)'
  : '';

/** PostgreSQL refuses to run as root; its package brings a user for it. */
function userForIt(): { uid: number; gid: number } | undefined {
  if (process.getuid?.() !== 0) return undefined;
  const line = readFileSync('/etc/passwd', 'utf8')
    .split('\n')
    .find((one) => one.startsWith('postgres:'));
  const [, , uid, gid] = line?.split(':') ?? [];
  if (uid === undefined || gid === undefined) throw new Error('no user postgres to run PostgreSQL as');
  return { uid: Number(uid), gid: Number(gid) };
}

export class OwnPostgres {
  readonly #folder = mkdtempSync(join(tmpdir(), 'throwbench-postgres-'));
  readonly #data = join(this.#folder, 'data');
  readonly #user = userForIt();
  #port = 0;

  async start(): Promise<void> {
    if (PROGRAMS === undefined)
      throw new Error('PostgreSQL is missing: this test must run in CI; install it in the gate');
    if (this.#user) chownSync(this.#folder, this.#user.uid, this.#user.gid);
    this.#do(
      'initdb',
      '--no-sync',
      '--auth=trust',
      '--username=shop',
      '--encoding=UTF8',
      '--no-locale',
      '-D',
      this.#data,
    );
    // One user is asked for a password.
    const rules = join(this.#data, 'pg_hba.conf');
    const asked = 'host all guest 127.0.0.1/32 scram-sha-256\n';
    writeFileSync(rules, asked + readFileSync(rules, 'utf8'));
    this.#port = await freePort();
    this.again();
  }

  /** After `kill`. */
  again(): void {
    // It is never the machine that goes down here.
    const options = `-p ${this.#port} -c listen_addresses=127.0.0.1 -c unix_socket_directories='' -c fsync=off`;
    this.#do('pg_ctl', '-D', this.#data, '-w', '-s', '-l', join(this.#folder, 'log'), '-o', options, 'start');
  }

  /** As by a power cut: nothing is closed, nothing is waited for. */
  kill(): void {
    this.#do('pg_ctl', '-D', this.#data, '-w', '-s', '-m', 'immediate', 'stop');
  }

  stop(): void {
    if (existsSync(join(this.#data, 'postmaster.pid'))) this.kill();
    rmSync(this.#folder, { recursive: true, force: true });
  }

  url(database = 'postgres', user = 'shop'): string {
    return `postgres://${user}@127.0.0.1:${this.#port}/${database}`;
  }

  /** Of a new and empty database. */
  async fresh(name: string): Promise<string> {
    await this.ask('postgres', `CREATE DATABASE ${name}`);
    return this.url(name);
  }

  /** A fresh database whose tables lie in that folder, which may be a small disk. */
  async freshIn(folder: string, name: string): Promise<string> {
    if (this.#user) chownSync(folder, this.#user.uid, this.#user.gid);
    await this.ask('postgres', `CREATE TABLESPACE ${name}_disk LOCATION '${folder}'`);
    await this.ask('postgres', `CREATE DATABASE ${name} TABLESPACE ${name}_disk`);
    return this.url(name);
  }

  async ask(database: string, text: string): Promise<Record<string, unknown>[]> {
    const client = new pg.Client(this.url(database));
    await client.connect();
    try {
      return ((await client.query(text)) as { rows: Record<string, unknown>[] }).rows;
    } finally {
      await client.end();
    }
  }

  #do(program: string, ...args: string[]): void {
    execFileSync(join(PROGRAMS ?? '', program), args, {
      stdio: ['ignore', 'ignore', 'inherit'],
      cwd: this.#folder,
      ...this.#user,
    });
  }
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  if (address === null || typeof address === 'string') throw new Error('no free port');
  return address.port;
}
