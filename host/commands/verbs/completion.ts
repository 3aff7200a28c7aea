// `throwbench completion`: what a shell needs to complete calls, and what fits at the end of one.

import { type Command, EXIT, refuseMore, UsageError, type Verb } from '../command.js';
import type { Declaration } from '../declaration.js';
import { declared, partNamed } from '../declared.js';

const shellPart = (shell: string, where: string) => ({
  words: `the script of ${shell}`,
  calls: [`completion ${shell}`],
  examples: [`completion ${shell} > ${where}`],
});

const DECLARATION = {
  calls: ['completion bash|zsh|fish', 'completion offer SHELL -- WORDS…'],
  parts: {
    bash: shellPart('bash', '~/.local/share/bash-completion/completions/throwbench'),
    zsh: shellPart('zsh', '~/.zsh/completions/_throwbench'),
    fish: shellPart('fish', '~/.config/fish/completions/throwbench.fish'),
    offer: {
      words: 'what fits at the end of a call, a word a line: this is what the scripts ask',
      calls: ['completion offer SHELL -- WORDS…'],
      examples: ['completion offer zsh -- log sh'],
    },
  },
  options: {},
  notes: `Verbs, their words and options are completed, and profiles, cases and faults that fit the profile on the line, runs,
    tags, ports and settings. Open a new shell after the script has been written; of zsh the folder must stand in fpath
    before compinit is called.`,
  examples: [
    'completion bash > ~/.local/share/bash-completion/completions/throwbench',
    'completion zsh > ~/.zsh/completions/_throwbench',
    'completion fish > ~/.config/fish/completions/throwbench.fish',
  ],
  isPlain: true,
  exit: '0 told, 2 usage',
} as const satisfies Declaration;

/** The verbs are handed in: this is one of them. */
export const completionOf = (known: readonly Verb[]): Command =>
  declared(DECLARATION, async ({ values, positionals }, io) => {
    const [word, ...more] = positionals;
    if (word === undefined) throw new UsageError('completion for which shell? bash, zsh or fish');
    const part = partNamed<keyof typeof DECLARATION.parts>('completion', DECLARATION, word, values);
    const { answerText, asTaken, SCRIPTS, SHELLS, wordsOf } = await import('../completion/scripts.js');
    if (part !== 'offer') {
      refuseMore(more);
      io.stdout(SCRIPTS[part]);
      return EXIT.pass;
    }
    const [name = '', ...typed] = more;
    const shell = SHELLS.find((one) => one === name);
    if (shell === undefined)
      throw new UsageError(`no completion for shell ${JSON.stringify(name)}`, { word: name, known: SHELLS });
    const { complete } = await import('../completion/complete.js');
    const verbs = known.map(({ name: verb, summary, load }) => ({
      ...{ name: verb, summary },
      declaration: async () => (await load()).command.declaration,
    }));
    const fitting = await complete(wordsOf(shell, typed), verbs, async (...asked) =>
      (await import('../completion/look-up.js')).lookUp(...asked),
    );
    io.stdout(answerText(asTaken(shell, fitting), shell));
    return EXIT.pass;
  });
