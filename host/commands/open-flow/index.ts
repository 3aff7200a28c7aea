// The bench, opened: rig, tag, profile, clip-on list, throw, verdict, decision, and the next. No list is needed.

import type { BenchEvent } from '../../bench/index.js';
import { known } from '../../fields/index.js';
import { openStore } from '../../records/index.js';
import { type BenchController, trayVerdict } from '../../screens/index.js';
import type { BenchDriver, OpenBench, TrayControl } from '../bench-driver.js';
import { type CommandIo, EXIT_OF_VERDICT } from '../command.js';
import { cautionsOf } from '../kept-sitting.js';
import { sitAtScreen } from '../screen-sitting.js';
import { readSettings } from '../settings.js';
import { caseOf, NextUnit } from './next-unit.js';
import { findPlace, type Named, type Place } from './place.js';

/** @throws InputError for settings that cannot be read */
export async function sitAtOpenBench(
  named: Named,
  screen: NonNullable<CommandIo['terminal']>,
  io: CommandIo,
  openBench: OpenBench,
): Promise<number> {
  const settings = { ...readSettings(), ...known({ short: named.short, askWay: named.askWay }) };
  const store = openStore();
  const { startKey, bell, operator } = settings;
  let driver: BenchDriver | undefined;
  let units: NextUnit | undefined;
  let place: Place | undefined;
  async function* start(control: TrayControl, controller: BenchController): AsyncGenerator<BenchEvent> {
    place = await findPlace(controller, store, named, settings);
    if (place === undefined) return;
    const rig = place === 'virtual' ? {} : place;
    controller.isAt(place === 'virtual' ? 'virtual bench' : `rig ${place.rigId} on ${place.port}`);
    const request = { units: [], kind: 'bench' as const, title: 'Open bench', settings, ...rig };
    driver = await openBench(request, { paced: true, cwd: io.cwd });
    const next = new NextUnit(controller, store, settings, place === 'virtual');
    units = next;
    yield* driver.runTray({ ...control, more: () => next.next() });
  }
  const cautions = cautionsOf(store, operator, undefined);
  try {
    const view = await sitAtScreen(
      {
        screen,
        options: {
          startsByItself: false,
          isVirtual: () => place === 'virtual',
          where: 'no rig opened yet',
          cautionsDue: cautions.areDue(),
          onRead: (what, tag) => (driver?.cautions ?? cautions).onRead(what, tag),
          onScan: (tag) => units?.scan(tag) ?? false,
          onOtherProfile: (tag) => units?.otherProfile(tag),
        },
        ...known({ startKey, bell }),
        place: () => place,
        probeOn: (tag) => (place === 'virtual' ? { virtualCase: caseOf(tag) } : place),
        start,
      },
      io,
    );
    // What was named and never thrown says nothing.
    const thrown = view.units.filter(({ state }) => state === 'told');
    return EXIT_OF_VERDICT[thrown.length === 0 ? 'pass' : trayVerdict({ ...view, units: thrown })];
  } finally {
    await driver?.close();
    store.close();
  }
}
