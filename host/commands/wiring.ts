// The sheet by which a harness is made, in the terminal, as HTML or as PDF.

import { InputError } from '../input/index.js';
import { loadParts, type Parts, type ResolvedUnit } from '../profile/index.js';
import { breaksOf, circuitSvg, drawingOf, laidOut, svgMetrics } from '../reports/circuit/index.js';
import { type Block, type Leaflet, leafletHtml, leafletPdf, type Paper } from '../reports/sheet/index.js';
import { wrapWords } from '../tell/index.js';
import { refuseColours } from './circuit.js';
import { BUILD_TERMINALS, shownCircuit, wireLines } from './circuit-shown.js';
import { type CommandIo, EXIT, jsonText, parseCommandArgs, UsageError } from './command.js';
import { reckoned } from './ratings.js';
import { RATINGS_OPTIONS } from './ratings-options.js';
import { shopLines } from './run-papers.js';
import { readSettings } from './settings.js';
import { tableLines } from './table.js';
import { unitAsBuilt } from './unit-as-built.js';
import { type BuildRated, loadWords, type WiringContent, wiringContent } from './wiring-content.js';
import { writeNew } from './write-new.js';

export interface WiringAsked {
  profile: string;
  circuit: string | undefined;
  colours: Readonly<Record<string, string>>;
  html: string | undefined;
  pdf: string | undefined;
  paper: Paper | undefined;
  shop: string | undefined;
  json: boolean;
}

const MOST_COLUMNS = 100;
const FOOT =
  'Reckoned from profile and circuit; common practice where no source is named. This is no approval.';

/** The exit code. @throws InputError, UsageError */
export async function wiring(asked: WiringAsked, io: CommandIo): Promise<number> {
  const unit = unitAsBuilt(asked.profile, asked.circuit);
  if (unit.style.subject !== undefined)
    throw new UsageError(
      `${unit.style.id} has no harness, so there is nothing to wire: name another circuit`,
    );
  refuseColours(unit, asked.colours);
  const whole = shownCircuit({ unit, position: 'forward', colours: asked.colours, isBuilt: true });
  const parts = loadParts({ unit: asked.profile });
  const content = wiringContent(unit, whole.connections, ratingsOf(unit, parts));
  if (asked.json) {
    io.stdout(
      jsonText({ profile: unit.unit.id, circuit: unit.style.id, wires: whole.connections, ...content }),
    );
    return EXIT.pass;
  }
  const { html, pdf } = asked;
  if (html === undefined && pdf === undefined) {
    io.stdout(`${linesOf(unit, content, Math.min(io.columns, MOST_COLUMNS)).join('\n')}\n`);
    return EXIT.pass;
  }
  const layout = await laidOut(drawingOf(unit.style, BUILD_TERMINALS), svgMetrics(false));
  const svg = circuitSvg({ layout, shown: whole.shown, isForPaper: true });
  const breaks = breaksOf(layout);
  const settled = readSettings();
  const shop = shopLines(asked.shop ?? settled.shop ?? '');
  const paper = asked.paper ?? settled.paper ?? 'a4';
  const sheet = leafletOf(unit, content, { svg, breaks, shop, legend: wireLines(whole) });
  if (html !== undefined) writeNew(io, html, leafletHtml(sheet, paper), 'wiring sheet written');
  if (pdf !== undefined) {
    const bytes = await leafletPdf(sheet, paper, new Date().toISOString());
    writeNew(io, pdf, bytes, 'wiring sheet written');
  }
  return EXIT.pass;
}

/** None where nobody knows the currents: a known load in the motor's place. */
function ratingsOf(unit: ResolvedUnit, parts: Parts): BuildRated {
  try {
    return reckoned(unit, parseCommandArgs([], RATINGS_OPTIONS).values, parts).result;
  } catch (error) {
    if (error instanceof UsageError || error instanceof InputError) return { rows: [], voltages: [] };
    throw error;
  }
}

const HEADS = ['', 'from', 'to', 'colour', 'size', 'length', 'ends'];
const WIDTHS = [7, 34, 34, 26, 15, 13, 14];

function leafletOf(
  { unit, style, load }: ResolvedUnit,
  { cautions, parts, stages, meter, power, running }: WiringContent,
  {
    svg,
    breaks,
    shop,
    legend,
  }: { svg: string; breaks: readonly number[]; shop: readonly string[]; legend: readonly string[] },
): Leaflet {
  const heading = (text: string): Block => ({ kind: 'heading', text });
  const text = (words: string, isBold = false): Block => ({ kind: 'text', text: words, isBold });
  return {
    title: `Wiring sheet: ${unit.title}`,
    subtitle: `${style.title}. ${style.summary}`,
    shop,
    foot: FOOT,
    blocks: [
      heading('Before you begin'),
      ...cautions.map((each) => text(each)),
      heading('Parts'),
      {
        kind: 'table',
        head: ['', 'what', 'rated for at least'],
        widths: [10, 60, 60],
        rows: parts.map(({ count, what, needs }) => [count, what, needs]),
      },
      heading(`Circuit, thrown forward, ${loadWords(load)}`),
      { kind: 'picture', svg, mostOfPage: 0.56, breaks },
      { kind: 'text', text: `${legend.join('; ')}.`, isFine: true },
      ...stages.flatMap(({ title, wires, check }, i): Block[] => [
        heading(`Stage ${i + 1}: ${title}`),
        {
          kind: 'table',
          head: HEADS,
          widths: WIDTHS,
          rows: wires.map((wire) => [
            ...[wire.number, wire.from, wire.to, wire.colour],
            ...[wire.size, wire.length, wire.ends],
          ]),
        },
        text(`☐ ${check}`, true),
      ]),
      heading(`Stage ${stages.length + 1}: Meter checks before power`),
      ...meter.flatMap(({ state, rows }): Block[] => [
        text(`${state}:`, true),
        {
          kind: 'table',
          head: ['', 'tips on', 'must show', 'shown'],
          widths: [8, 70, 30, 22],
          rows: rows.map(([number, tips, shows]) => [`☐ ${number}`, tips, shows, '']),
        },
      ]),
      heading(`Stage ${stages.length + 2}: First power`),
      ...power.map((each) => text(`☐ ${each}`)),
      { kind: 'table', head: [], widths: [40, 30, 30, 30], rows: running },
    ],
  };
}

function linesOf(
  { unit, style }: ResolvedUnit,
  { cautions, parts, stages, meter, power, running }: WiringContent,
  columns: number,
): string[] {
  const wrapped = (text: string, first = '', indent = ' '.repeat(first.length)): string[] =>
    wrapWords(text, columns - indent.length).map((line, i) => `${i === 0 ? first : indent}${line}`);
  return [
    ...wrapped(`Wiring sheet. ${unit.title}: ${style.title}.`),
    ...cautions.flatMap((each) => wrapped(each, '  - ')),
    '',
    'Parts:',
    ...parts.flatMap(({ count, what, needs }) =>
      wrapped(needs === '' ? what : `${what}: ${needs}`, `  ${count.padStart(6)}  `),
    ),
    ...stages.flatMap(({ title, wires, check }, i) => [
      '',
      ...wrapped(`${i + 1}. ${title}:`),
      ...wires.flatMap(({ number, from, to, colour, size, length, ends }) =>
        wrapped(
          `${from} to ${to}: ${[colour, size, length, ends].filter((each) => each !== '').join(', ')}`,
          `  [ ] ${number.padEnd(5)}`,
        ),
      ),
      ...wrapped(check, '  [ ] '),
    ]),
    '',
    ...wrapped(`${stages.length + 1}. Meter checks before power:`),
    ...meter.flatMap(({ state, rows }) => [
      ...wrapped(`${state}:`, '  '),
      ...rows.flatMap(([number, tips, shows]) =>
        wrapped(`${tips}: ${shows}`, `  [ ] ${number.padStart(2)}  `),
      ),
    ]),
    '',
    `${stages.length + 2}. First power:`,
    ...power.flatMap((each) => wrapped(each, '  [ ] ')),
    ...tableLines(running, () => false).map((line) => `      ${line}`),
    '',
    ...wrapped('throwbench circuit draws it; --html or --pdf puts all of it on paper.'),
  ];
}
