// The next unit of an open bench: its tag as typed or scanned, and what it should be.

import { known } from '../../fields/index.js';
import { listProfiles, loadCase, loadTray, SCHEMAS, type VirtualCase } from '../../profile/index.js';
import type { Store } from '../../records/index.js';
import type { BenchController } from '../../screens/index.js';
import type { SessionUnit } from '../bench-driver.js';
import { LONGEST_TAG } from '../longest-tag.js';
import type { Settings } from '../settings.js';
import { loadAsRun } from '../unit-as-run.js';
import { profileOfTag } from './profile-of-tag.js';
import { beginningOf, nextTag, tagRead } from './tags.js';

/** What the virtual bench has on it where nobody says otherwise. */
const DEMO_TRAY = 'tray';

export class NextUnit {
  /** What a person named in this sitting, by beginning of the tag. */
  readonly #chosen: Record<string, string> = {};
  readonly #taken = new Set<string>();
  #last: string | undefined;
  #scanned: string | undefined;
  /** The tag whose profile was not the right one, and what is wrong with it where it cannot be read. */
  #doubted: { tag: string; trouble?: string } | undefined;

  constructor(
    readonly controller: BenchController,
    readonly store: Pick<Store, 'listRuns' | 'listedProfile' | 'tagAsKnown'>,
    readonly settings: Settings,
    readonly isVirtual: boolean,
  ) {
    this.#last = store.listRuns({ limit: 1 })[0]?.tag;
  }

  /** Of the next unit, in place of the tag that would be asked for. */
  scan(tag: string): boolean {
    const read = tagRead(tag);
    if (read === '' || read.length > LONGEST_TAG) return false;
    this.#scanned = read;
    return true;
  }

  otherProfile(tag: string): void {
    this.#scanned = tag;
    this.#doubted = { tag };
  }

  /** Undefined when the person leaves. */
  async next(): Promise<SessionUnit | 'back' | undefined> {
    for (let wasMistyped = false; ; ) {
      const byItself = wasMistyped ? undefined : this.#byItself();
      const asked = this.#scanned ?? byItself ?? (await this.#askTag());
      this.#scanned = undefined;
      if (asked === undefined) return undefined;
      if (asked === 'undo') return 'back';
      const tag = this.store.tagAsKnown(tagRead(asked));
      if (tag === '') continue;
      const profile = await this.#profileOf(tag);
      if (profile === undefined) return undefined;
      wasMistyped = profile === 'back';
      if (profile === 'back') continue;
      try {
        const unit = loadAsRun(profile, this.settings.short);
        this.#last = tag;
        this.#taken.add(tag);
        return { tag, unit, ...(this.isVirtual ? { virtualCase: caseOf(tag) } : {}) };
      } catch (error) {
        // Known of old and not to be had any more: another one is asked for.
        this.#scanned = tag;
        this.#doubted = { tag, trouble: error instanceof Error ? error.message : String(error) };
      }
    }
  }

  /** Of many of one kind the next number follows by itself; the next throw never does. A skip asks for a tag again. */
  #byItself(): string | undefined {
    const { units } = this.controller.state.bench;
    const isFollowing = units.at(-1)?.state === 'told';
    return this.settings.short && isFollowing && this.#last ? nextTag(this.#last, this.#taken) : undefined;
  }

  #askTag(): Promise<string | 'undo' | undefined> {
    const proposal =
      this.#last === undefined
        ? this.isVirtual
          ? demoUnits()[0]?.tag
          : undefined
        : nextTag(this.#last, this.#taken);
    return this.controller.askText({
      title: 'Which unit is next?',
      lines: ['Type or scan its tag. Nothing is thrown by this Enter.'],
      label: 'Tag',
      longest: LONGEST_TAG,
      ...known({ proposal }),
    });
  }

  /** `back` where the tag was mistyped; undefined when the person leaves. */
  async #profileOf(tag: string): Promise<string | undefined> {
    const doubted = this.#doubted?.tag === tag ? this.#doubted : undefined;
    this.#doubted = undefined;
    const beginning = beginningOf(tag);
    const demo = this.isVirtual ? demoUnits().find((unit) => unit.tag === tag)?.profile : undefined;
    const told =
      this.#chosen[beginning] ?? demo ?? profileOfTag(tag, this.settings.profiles ?? {}, this.store);
    if (told !== undefined && doubted === undefined) return told;
    const profiles = listProfiles('unit').filter(({ fault }) => fault === undefined);
    const at = await this.controller.askChoice({
      title: `What is ${tag}?`,
      lines: [`Asked once for every tag that begins with ${beginning}.`],
      options: profiles.map(({ id, title }) => `${title}  (${id})`),
      chosen: Math.max(
        0,
        profiles.findIndex(({ id }) => id === told),
      ),
      canGoBack: true,
      ...known({ trouble: doubted?.trouble }),
    });
    if (at === 'back') return 'back';
    const id = at === undefined ? undefined : profiles[at]?.id;
    if (id !== undefined) this.#chosen[beginning] = id;
    return id;
  }
}

const demoUnits = () => loadTray(DEMO_TRAY).units;

/** What the demo tray has under this tag; else a unit as it should be, a little another one for each tag. */
export function caseOf(tag: string): VirtualCase {
  const demo = demoUnits().find((unit) => unit.tag === tag)?.virtual;
  if (demo !== undefined) return loadCase(demo);
  const seed = [...tag].reduce((sum, character) => (31 * sum + character.charCodeAt(0)) % 100_003, 7);
  return SCHEMAS.case.parse({ id: 'as-it-should-be', title: 'As it should be', kind: 'case', seed });
}
