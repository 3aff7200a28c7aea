// `throwbench wiring`: the sheet by which a harness is made: parts, wires in order, what to check at each stage.

import { JSON_OPTION, PROFILE_OPTION } from '../bench-named.js';
import { CIRCUIT_OPTIONS, coloursTold } from '../circuit-options.js';
import { refuseMore, UsageError } from '../command.js';
import { declared } from '../declared.js';

const PAPERS = ['a4', 'letter'] as const;

export const command = declared(
  {
    calls: ['wiring --profile P [--circuit ID] [options] [--html FILE] [--pdf FILE] [--json]'],
    options: {
      profile: PROFILE_OPTION,
      circuit: CIRCUIT_OPTIONS.circuit,
      colour: {
        ...CIRCUIT_OPTIONS.colour,
        words:
          "colour of a wire by the letters of IEC 60757, GNYE for green with yellow; may be given several times. The profile's own stand under wires, with the ends",
      },
      html: {
        type: 'string',
        value: 'FILE',
        words: 'write the sheet as a page of its own',
        offer: 'file',
      },
      pdf: { type: 'string', value: 'FILE', words: 'the same as PDF', offer: 'file' },
      paper: { type: 'string', value: 'P', words: 'of the sheet: a4 or letter', offer: PAPERS },
      shop: {
        type: 'string',
        value: 'TEXT',
        words: 'name and address at its head, lines apart by a semicolon; settings keeps both',
      },
      json: JSON_OPTION,
    },
    notes: `Parts, then the wires in the order in which they are made with what to check after each stage, the
      circuit, the meter checks before power, and what must be seen when it is first fed.`,
    examples: [
      'wiring --profile entry-step-relays --pdf step.pdf',
      'wiring --profile window-lift-switch --colour feed=RD --colour ground=BK',
    ],
    exit: '0 written, 2 usage or bad input',
  },
  async ({ values, positionals }, io) => {
    refuseMore(positionals);
    const { profile, circuit, html, pdf, paper, shop, json } = values;
    if (profile === undefined) throw new UsageError('wiring needs --profile, the id or file of a unit');
    const known = PAPERS.find((each) => each === paper);
    if (paper !== undefined && known === undefined)
      throw new UsageError(`no paper '${paper}': use a4 or letter`);
    if (json && (html !== undefined || pdf !== undefined))
      throw new UsageError('--json does not go with --html or --pdf: choose one');
    const asked = {
      profile,
      circuit,
      html,
      pdf,
      paper: known,
      shop,
      json,
      colours: coloursTold(values.colour),
    };
    return (await import('../wiring.js')).wiring(asked, io);
  },
);
