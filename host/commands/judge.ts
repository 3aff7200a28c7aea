// `throwbench judge FILE.csv --profile P [--json]`: judges a capture taken by any instrument. No rig, no record.

import { expectation, type Judgement, judge, judgementJson } from '../judge/index.js';
import { loadUnit } from '../profile/index.js';
import { CAPTURE_OPTIONS, CAPTURE_USAGE, captureOptions, readCaptureAt } from './capture-options.js';
import { type Command, EXIT, parseCommandArgs, UsageError } from './command.js';

export const judgeCommand: Command = {
  name: 'judge',
  summary: 'judge a capture in a CSV file against a profile',
  usage: `usage: throwbench judge FILE.csv --profile P [options] [--json]

  FILE.csv       columns time_s, position, feed_current_A, motor_current_A, coil_current_A, lead_a_V, lead_b_V, supply_V;
                 columns that the instrument does not have may be left out, lost samples are empty cells
  --profile P    profile of the unit: an id, or the path of a YAML file
  --stop REASON  why the rig stopped before the plan's end, such as over-current
${CAPTURE_USAGE}
  --json         verdict, checks, findings and readings as JSON

Exit status: 0 pass, 1 fail, 2 bad input, 3 cannot tell.`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      ...CAPTURE_OPTIONS,
      profile: { type: 'string' },
      json: { type: 'boolean' },
      stop: { type: 'string' },
    });
    const [file, ...more] = positionals;
    if (file === undefined)
      throw new UsageError('judge needs a capture: throwbench judge FILE.csv --profile P');
    if (more.length > 0) throw new UsageError(`judge takes one capture; '${more[0]}' is one too many`);
    if (values.profile === undefined)
      throw new UsageError('judge needs --profile, the id or file of what the unit should be');
    const options = captureOptions(values);
    const unit = loadUnit(values.profile);
    const capture = readCaptureAt(io, file, options.read);
    const judgement = judge({
      unit,
      capture,
      expectation: expectation(unit),
      stop: values.stop,
      measuring: options.measure,
    });
    io.stdout(
      values.json ? `${JSON.stringify(judgementJson(judgement), null, 2)}\n` : judgementText(judgement),
    );
    return judgement.verdict === 'pass'
      ? EXIT.pass
      : judgement.verdict === 'fail'
        ? EXIT.fail
        : EXIT.cannotTell;
  },
};

const WORD = { pass: 'PASS', fail: 'FAIL', 'cannot-tell': 'CANNOT TELL' } as const;
const MARK = {
  pass: 'ok  ',
  'conditional-pass': 'ok? ',
  'conditional-fail': '??  ',
  fail: 'FAIL',
  'not-tested': '--  ',
} as const;

/** Plain lines: verdict, checks, findings. */
export function judgementText(judgement: Judgement): string {
  const lines = [`${WORD[judgement.verdict]}  ${judgement.sentence}`, ''];
  for (const { outcome, sentence } of judgement.checks) lines.push(`  ${MARK[outcome]}  ${sentence}`);
  if (judgement.findings.length > 0) {
    lines.push('', 'Likely cause:');
    for (const { likelihood, sentence, nextProbe } of judgement.findings) {
      lines.push(
        `  ${(100 * likelihood).toFixed(0).padStart(3)} %  ${sentence}`,
        `         Next: ${nextProbe}`,
      );
    }
  }
  return `${lines.join('\n')}\n`;
}
