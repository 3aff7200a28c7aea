// `throwbench wiring`: the sheet by which a harness is made: parts, wires in order, what to check at each stage.

import { coloursTold } from '../circuit-options.js';
import { type Command, parseCommandArgs, refuseMore, UsageError } from '../command.js';

const PAPERS = ['a4', 'letter'] as const;

export const command: Command = {
  usage: `usage: throwbench wiring --profile P [--circuit ID] [options] [--html FILE] [--pdf FILE] [--json]

  --profile P        profile of the unit: an id, or the path of a YAML file
  --circuit ID       on another circuit than the profile's, or the path of a circuit's file
  --colour WIRE=RD   colour of a wire by the letters of IEC 60757, GNYE for green with yellow; may
                     be given several times. The profile's own stand under wires, with the ends
  --html FILE        write the sheet as a page of its own; --pdf FILE as PDF
  --paper WORD       a4 or letter; --shop TEXT name and address, lines apart by a semicolon
  --json             for programs

Parts, then the wires in the order in which they are made with what to check after each stage, the
circuit, the meter checks before power, and what must be seen when it is first fed.

examples:
  throwbench wiring --profile entry-step-relays --pdf step.pdf
  throwbench wiring --profile window-lift-switch --colour feed=RD --colour ground=BK

exit status: 0 written, 2 usage or bad input
`,
  async run(args, io) {
    const { values, positionals } = parseCommandArgs(args, {
      profile: { type: 'string' },
      circuit: { type: 'string' },
      colour: { type: 'string', multiple: true },
      html: { type: 'string' },
      pdf: { type: 'string' },
      paper: { type: 'string' },
      shop: { type: 'string' },
      json: { type: 'boolean', default: false },
    });
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
};
