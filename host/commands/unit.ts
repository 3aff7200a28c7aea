// A unit of the shop: its story shown, and added to. Nothing written is ever changed: a correction is one more entry.

import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { displayPath, InputError, oneLine, readFault } from '../input/index.js';
import {
  type Disposition,
  RecordError,
  type ShopContent,
  type ShopEntry,
  type Store,
} from '../records/index.js';
import { DISPOSITION_WORDS } from '../tell/index.js';
import { type CommandIo, EXIT, jsonText } from './command.js';
import { keepPhoto } from './photos.js';
import { PICTURES_TAKEN, pictureExtension } from './picture-kind.js';
import { inStore, writer } from './shop-writing.js';
import { storePlace, withStore } from './stored-runs.js';
import { storyOf, storyRows, together, withdrawnOf } from './story.js';
import { tableLines } from './table.js';

export interface Written {
  by: string | undefined;
  json: boolean;
}

export function listUnits(io: CommandIo, json: boolean): number {
  const units = withStore((store) => store.listUnits()) ?? [];
  if (json) io.stdout(jsonText(units));
  else if (units.length === 0) io.stdout(`no units in ${storePlace()}\n`);
  else {
    const rows = units.map(({ tag, job = '', runs, disposition }) =>
      [tag, job, `${runs}`, disposition === undefined ? '' : DISPOSITION_WORDS[disposition]].map(oneLine),
    );
    io.stdout(
      tableLines([['unit', 'job', 'runs', 'decided'], ...rows])
        .map((line) => `${line}\n`)
        .join(''),
    );
  }
  return EXIT.pass;
}

/** @throws InputError for a unit that nothing is known of */
export function showUnit(io: CommandIo, named: string, json: boolean): number {
  const found = withStore((store) => {
    const tag = unitNamed(store, named);
    const profile = store.listedProfile(tag) ?? store.listRuns({ tag, limit: 1 })[0]?.profileId;
    const entries = store.listShopEntries({ tag });
    return {
      tag,
      job: store.jobOf(tag),
      profile,
      entries,
      story: storyOf(store, tag),
      withdrawn: withdrawnOf(store, tag),
    };
  });
  if (!found) throw unknownUnit(named);
  const { tag, job, profile, story, withdrawn } = found;
  if (json) io.stdout(jsonText(found));
  else {
    const head = [
      tag,
      ...(job === undefined ? [] : [`job ${job}`]),
      ...(profile === undefined ? [] : [profile]),
    ];
    io.stdout(`unit ${oneLine(head.join(', '))}\n`);
    io.stdout(
      tableLines(storyRows(together(story, withdrawn)))
        .map((line) => `${line}\n`)
        .join(''),
    );
  }
  return EXIT.pass;
}

/** Adds to the story of a unit, which need not be known yet. */
export function write(io: CommandIo, tag: string, content: ShopContent, { by, json }: Written): number {
  const entry = inStore((store) =>
    store.addShopEntry({ tag: store.tagAsKnown(tag), ...writer(by), content }),
  );
  return told(io, { tag, entry }, json);
}

/** Most bytes of a picture that is kept; cameras make some ten. */
const MOST_BYTES = 50_000_000;

/** The picture is copied under its hash, so that the record tells whether it is still the same. */
export function addPhoto(
  io: CommandIo,
  { tag, file, text }: { tag: string; file: string; text: string | undefined },
  told: Written,
): number {
  let bytes: Buffer;
  try {
    bytes = readFileSync(resolve(io.cwd, file));
  } catch (error) {
    throw new InputError({ file, ...readFault(error) }, { cause: error });
  }
  if (bytes.length === 0 || bytes.length > MOST_BYTES)
    throw new InputError({ file, what: `has ${bytes.length} bytes`, mend: 'name a picture of up to 50 MB' });
  const extension = pictureExtension(bytes, file);
  if (extension === undefined)
    throw new InputError({ file, what: 'is no picture', mend: `name a photo: ${PICTURES_TAKEN}` });
  const sha256 = createHash('sha256').update(bytes).digest('hex');
  const kept = keepPhoto({ sha256, extension }, bytes);
  if (kept !== undefined) io.stderr(`${displayPath(kept)}: photo kept\n`);
  const named = text === undefined ? {} : { text };
  return write(io, tag, { kind: 'photo', sha256, extension, bytes: bytes.length, ...named }, told);
}

/** @throws InputError for a unit without a run: what is decided stands on one */
export function decide(
  io: CommandIo,
  { tag, word, reason }: { tag: string; word: Disposition; reason: string },
  { by, json }: Written,
): number {
  const decided = inStore((store) => {
    const meant = store.tagAsKnown(tag);
    const [newest] = store.listRuns({ tag: meant, limit: 1 });
    if (newest === undefined)
      throw new InputError({ file: tag, what: 'has no run yet', mend: 'test it first; a note needs no run' });
    const { runId } = newest;
    store.addDisposition({ tag: meant, runId, word, reason, ...writer(by) });
    return { tag: meant, runId, disposition: word, reason };
  });
  if (json) io.stdout(jsonText(decided));
  else io.stdout(`${decided.tag}: ${DISPOSITION_WORDS[word]}, on run ${decided.runId}\n`);
  return EXIT.pass;
}

/** Stands in place of an entry, with new words; without them it takes the entry back for a reason. */
export function correct(
  io: CommandIo,
  {
    tag: named,
    entry: id,
    text,
    isWithdrawn,
  }: { tag: string; entry: number; text: string; isWithdrawn: boolean },
  { by, json }: Written,
): number {
  const corrected = inStore((store) => {
    const tag = unitNamed(store, named);
    const before = store.listShopEntries({ tag }).find((one) => one.id === id);
    if (before === undefined)
      throw new InputError({
        file: tag,
        what: `has no entry ${id}`,
        mend: `throwbench unit show ${tag} tells the numbers`,
      });
    const content: ShopContent = isWithdrawn ? { kind: 'withdrawn', text } : withText(before, text);
    const about = before.job === undefined ? {} : { job: before.job };
    try {
      return { tag, entry: store.addShopEntry({ tag, ...about, corrects: id, ...writer(by), content }) };
    } catch (error) {
      if (!(error instanceof RecordError && error.code === 'entry-unknown')) throw error;
      throw new InputError({ file: tag, what: error.message, mend: error.advice }, { cause: error });
    }
  });
  return told(io, corrected, json);
}

/** The same entry with other words; what is no words is withdrawn and written anew. */
function withText({ content, id }: ShopEntry, text: string): ShopContent {
  switch (content.kind) {
    case 'received':
    case 'repaired':
    case 'shipped':
    case 'note':
    case 'photo':
      return { ...content, text };
    case 'part':
      return { kind: 'part', part: text };
    case 'listed':
      return { ...content, note: text };
    default:
      throw new InputError({
        ...{ file: `entry ${id}`, what: 'has no words to correct' },
        mend: 'withdraw it, and write it anew',
      });
  }
}

function told(io: CommandIo, { tag, entry }: { tag: string; entry: number }, json: boolean): number {
  if (json) io.stdout(jsonText({ tag, entry }));
  else io.stdout(`${oneLine(tag)}: written as entry ${entry}\n`);
  return EXIT.pass;
}

/** In any case. */
function unitNamed(store: Store, named: string): string {
  const meant = store.tagAsKnown(named);
  if (!store.isUnit(meant)) throw unknownUnit(named);
  return meant;
}

const unknownUnit = (tag: string): InputError =>
  new InputError({ file: tag, what: 'no such unit', mend: 'throwbench unit lists them' });
