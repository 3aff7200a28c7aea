// `throwbench man`: the manual page, made from what the verbs declare.

import { type Command, EXIT, refuseMore, type Verb } from '../command.js';
import { declared } from '../declared.js';

/** The verbs are handed in: this is one of them. */
export const manOf = (known: readonly Verb[]): Command =>
  declared(
    {
      calls: ['man'],
      options: {},
      notes: `For man itself, which finds it then as throwbench(1): throwbench man >
        ~/.local/share/man/man1/throwbench.1`,
      examples: ['man | man -l -', 'man > throwbench.1'],
      exit: '0 told, 2 usage',
      isPlain: true,
    },
    async ({ positionals }, io) => {
      refuseMore(positionals);
      const { manualPage } = await import('../manual-page.js');
      const { programVersion } = await import('../../program/index.js');
      const verbs = await Promise.all(
        known.map(async ({ name, summary, load }) => {
          const { declaration } = (await load()).command;
          return { name, summary, ...(declaration === undefined ? {} : { declaration }) };
        }),
      );
      io.stdout(manualPage(verbs, programVersion()));
      return EXIT.pass;
    },
  );
