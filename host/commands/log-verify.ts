// Which proofs of the records hold: the hash chain, an anchor noted elsewhere, the shop's signatures.

import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { known } from '../fields/index.js';
import { displayPath, InputError, readFault } from '../input/index.js';
import {
  type About,
  anchorOf,
  type ChainFault,
  type ExpectedLink,
  isAnchor,
  type PublicKey,
  publicKeyOf,
  type SignaturesFound,
  type Store,
  standingEntries,
  type Verification,
} from '../records/index.js';
import { type CommandIo, EXIT, jsonText, UsageError } from './command.js';
import { when } from './log-text.js';
import { ownKey } from './own-key.js';
import { photosSeen } from './photos.js';
import { storePlace, withStore } from './stored-runs.js';

export interface VerifyOptions {
  /** An anchor noted elsewhere, which the chain should still hold. */
  expect: string | undefined;
  /** File with the shop's public key; the key of this bench where it is not given. */
  key: string | undefined;
  json: boolean;
}

/** @throws UsageError for what is no anchor; InputError for a file without key */
export function verify(io: CommandIo, { expect, key, json }: VerifyOptions): number {
  if (expect !== undefined && !isAnchor(expect))
    throw new UsageError(
      `--expect '${expect}' should be an anchor, 8 to 64 of 0-9 a-f, as log verify tells it`,
    );
  const heldAgainst = key === undefined ? ownKey() : keyFrom(io.cwd, key);
  const found = withStore((store) => {
    const verified = store.verify(expect, heldAgainst);
    return { ...verified, photos: photosFaults(store), learned: learnedFiles(store) };
  });
  const isMissing = expect !== undefined && found?.expected === undefined;
  const faults = [
    ...(found?.faults ?? []),
    ...(found?.signatures.faults ?? []),
    ...(found?.photos ?? []),
    ...(found?.learned.faults ?? []),
  ];
  if (json) io.stdout(jsonText({ store: storePlace(), ...(found ?? NOTHING) }));
  else {
    io.stdout(
      found === undefined
        ? `no store in ${storePlace()}: nothing was verified\n`
        : `store in ${storePlace()}\n`,
    );
    for (const fault of faults) io.stdout(`${placeOf(fault)}: ${fault.sentence}\n`);
    if (found !== undefined) io.stdout(verifiedText(found));
    if (expect !== undefined) io.stdout(expectedText(expect, found?.expected));
    if (found !== undefined)
      io.stdout(
        learnedText(found.learned) + signaturesText(found.signatures) + clockText(found.clockSetBack),
      );
  }
  return faults.length === 0 && !isMissing ? EXIT.pass : EXIT.fail;
}

const photosFaults = (store: Store): ChainFault[] =>
  photosSeen(store).flatMap(({ tag, fault }) =>
    fault === undefined ? [] : [{ ...known({ tag }), sentence: fault }],
  );

interface LearnedFiles {
  /** Files with the bytes that were written. */
  asWritten: number;
  /** Paths of those that cannot be looked at: moved, removed, written on another bench. */
  notFound: string[];
  faults: ChainFault[];
}

/** A file that is elsewhere accuses nobody: a run names the bytes that it was judged by. */
function learnedFiles(store: Store): LearnedFiles {
  const found: LearnedFiles = { asWritten: 0, notFound: [], faults: [] };
  for (const { content, at } of standingEntries(store.listShopEntries())) {
    if (content.kind !== 'learned-limits') continue;
    const { path, sha256 } = content;
    const now = hashOfFile(path);
    if (now === undefined) found.notFound.push(path);
    else if (now === sha256) found.asWritten += 1;
    else
      found.faults.push({
        learnedPath: path,
        sentence: `the file was changed after it was written on ${when(at)}`,
      });
  }
  return found;
}

function hashOfFile(path: string): string | undefined {
  try {
    return createHash('sha256').update(readFileSync(path)).digest('hex');
  } catch {
    return undefined;
  }
}

const NOTHING = { runs: 0, entries: 0, notes: 0, faults: [] };

/** @throws InputError for a file that cannot be read; RecordError for one without key */
export function keyFrom(cwd: string, file: string): PublicKey {
  let pem: string;
  try {
    pem = readFileSync(resolve(cwd, file), 'utf8');
  } catch (error) {
    throw new InputError({ file, ...readFault(error) });
  }
  return publicKeyOf(pem, file);
}

/** @param otherwise where it is about none of these */
export const placeOf = ({ runId, rigId, tag, job, learnedPath }: About, otherwise = 'the store'): string => {
  if (runId !== undefined) return runId;
  if (rigId !== undefined) return `rig ${rigId}`;
  if (tag !== undefined) return `unit ${tag}`;
  if (learnedPath !== undefined) return `learned limits in ${displayPath(learnedPath)}`;
  return job === undefined ? otherwise : `job ${job}`;
};

function verifiedText(found: Verification): string {
  const { runs, lastHash, faults } = found;
  if (faults.length > 0) return `chain: does NOT hold; faults: ${faults.length}, in ${runs} closed runs\n`;
  if (lastHash === undefined) return 'no records yet: nothing was verified\n';
  return [
    `closed runs: ${runs}, each as it was when it was closed\n`,
    countLine('entries added to them', found.entries, 'each as it was written'),
    countLine('decisions about units', found.dispositions, 'each as it was written'),
    countLine('entries of the shop', found.shopEntries, 'each as it was written'),
    countLine('calibrations and known-load checks', found.notes, 'each as it was noted'),
    `last hash ${lastHash}\nanchor ${anchorOf(lastHash)}\nchain: holds\n`,
  ].join('');
}

/** Empty while there is none. */
const countLine = (what: string, count: number, how: string): string =>
  count === 0 ? '' : `${what}: ${count}, ${how}\n`;

function expectedText(expect: string, expected: ExpectedLink | undefined): string {
  if (expected === undefined)
    return `anchor ${expect}: NOT in the chain: its record was removed or changed, or it is of another store\n`;
  const since = expected.later === 0 ? 'the newest record' : `${expected.later} came after it`;
  return `anchor ${expect}: in the chain, ${placeOf(expected)}; ${since}\n`;
}

/** Empty where nothing was learned into a file. */
function learnedText({ asWritten, notFound, faults }: LearnedFiles): string {
  const whole = countLine('files of learned limits', asWritten, 'each as it was written');
  const changed = faults.length === 0 ? '' : `files of learned limits that were changed: ${faults.length}\n`;
  const away = notFound.map(
    (path) => `${displayPath(path)}: learned limits, no longer there to be looked at\n`,
  );
  return whole + changed + away.join('');
}

function signaturesText({ signed, before, keyIds, heldAgainst, faults }: SignaturesFound): string {
  if (signed === 0 && faults.length === 0) return 'signatures: none; log key new makes a key for the shop\n';
  if (faults.length > 0) return `signatures: do NOT hold; faults: ${faults.length}\n`;
  const older = before === 0 ? '' : `; ${before} older than the key, taken in by its first signature`;
  const whose =
    heldAgainst === undefined
      ? `by key ${keyIds.join(', ')}, known from the store alone; --key FILE holds them against the shop's own`
      : `the newest by key ${heldAgainst}`;
  return `signatures: hold; records signed: ${signed}, ${whose}${older}\n`;
}

/** No fault: the chain goes by the order of writing. But dates of these mislead. */
const clockText = (runs: readonly About[]): string =>
  runs.length === 0
    ? ''
    : `clock: set back before ${runs.length === 1 ? 'run' : 'runs'} ${runs
        .slice(0, 5)
        .map(({ runId }) => runId)
        .join(
          ', ',
        )}${runs.length > 5 ? ` and ${runs.length - 5} more` : ''}; their order in the chain is right, their time may not be\n`;
