// The list of runs as a page that opens from disk: its rows lie beside it as scripts, a month each, since a browser
// reads no other file of a folder by itself.

import { readFileSync } from 'node:fs';
import { VERDICT_WORDS } from '../../tell/index.js';
import { escaped } from '../svg.js';
import { page } from './frame.js';

/** A row of the list. What is absent is an empty text. */
export interface SiteRun {
  run: string;
  unit: string;
  /** Title of the profile. */
  profile: string;
  /** Day at the bench, ISO 8601: what is searched by. */
  day: string;
  /** Day and time at the bench, as they are told. */
  when: string;
  verdict: keyof typeof VERDICT_WORDS | '';
  /** In words, with what stands against it. */
  told: string;
  reason: string;
  cause: string;
  decided: string;
  operator: string;
  job: string;
  /** Path of the sheet from the list. */
  sheet: string;
}

const COLUMNS = [
  ...([
    'run',
    'unit',
    'profile',
    'day',
    'when',
    'verdict',
    'told',
    'reason',
    'cause',
    'decided',
    'operator',
  ] as const),
  ...(['job', 'sheet'] as const),
] satisfies (keyof SiteRun)[];

/** `</script>` and the like in a text would end the script. */
const asScript = (value: unknown): string => JSON.stringify(value).replaceAll('<', '\\u003c');

/** The runs of one month, newest first. */
export const monthFile = (runs: readonly SiteRun[]): string =>
  `throwbench.add(${asScript(COLUMNS)}, [\n${runs
    .map((run) => asScript(COLUMNS.map((column) => run[column])))
    .join(',\n')}\n]);\n`;

/** The script of the page. */
export const deskScript = (): string => readFileSync(new URL('./desk.js', import.meta.url), 'utf8');

export interface ListTold {
  shop: string;
  runs: number;
  /** Day and time of the newest run; empty where there is none. */
  newest: string;
  profiles: readonly string[];
  /** Paths of the files of the months, newest first. */
  months: readonly string[];
}

export function listPage({ shop, runs, newest, profiles, months }: ListTold): string {
  const options = (values: readonly (readonly [value: string, words: string])[]): string =>
    values.map(([value, words]) => `<option value="${escaped(value)}">${escaped(words)}</option>`).join('');
  const body = `<p class="note">${runs} ${runs === 1 ? 'run' : 'runs'}${newest === '' ? '' : `, the newest of ${escaped(newest)}`}. This folder needs no program and no network.</p>
<form id="filters" role="search">
<label>Search, all words<input type="search" id="words" autocomplete="off" placeholder="tag, cause, job, run" accesskey="s"></label>
<label>Verdict<select id="verdict"><option value="">any</option>${options(Object.entries(VERDICT_WORDS))}</select></label>
<label>Profile<select id="profile"><option value="">any</option>${options(profiles.map((title) => [title, title]))}</select></label>
<label>From<input type="date" id="since"></label>
<label>To<input type="date" id="until"></label>
<label>Show<select id="attempts"><option value="">every run</option><option value="newest">the newest of each unit</option></select></label>
<button type="reset">Clear</button>
</form>
<p id="count" role="status" aria-live="polite">Reading the list …</p>
<noscript><p>Your browser runs no scripts here: the sheets lie in the folder sheets, a month each.</p></noscript>
<table class="list"><thead><tr><th scope="col">When</th><th scope="col">Unit</th><th scope="col">Verdict</th><th scope="col">Cause or reason</th><th scope="col">Profile</th><th scope="col">Decided</th></tr></thead>
<tbody id="rows"></tbody></table>
<p class="paging"><button type="button" id="back">Newer</button> <button type="button" id="on">Older</button>
<span class="note">Keys: / searches, ↓ and ↑ go from run to run, Enter opens the sheet, PageDown and PageUp turn the page at its last and first run.</span></p>
<script src="data/desk.js"></script>
${months.map((path) => `<script src="${escaped(path)}"></script>`).join('\n')}
<script>throwbench.start();</script>`;
  return page({ shop, title: 'Test records', body });
}
