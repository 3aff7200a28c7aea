// What a fault costs: building a unit's circuit with each fault of its style in it, against building it healthy.

import { itemAt } from '../../host/arrays/index.js';
import { buildUnitCircuit, faultsOfUnit, nominalInput } from '../../host/circuit/index.js';
import { plannedUnit } from '../profile/planned-unit.js';

const PROFILES = ['entry-step-relays', 'window-lift-switch', 'mini-changeover-alone'];
const ROUNDS = 60;
/** Every fault so often in a round. */
const REPEATS = 3;

/** Mean of one round, least of many: what else runs on the machine only adds. Microseconds. */
function leastUs(acts: readonly ((n: number) => void)[], count: number): number[] {
  const least = acts.map(() => Number.POSITIVE_INFINITY);
  for (let round = 0; round < ROUNDS; round++) {
    acts.forEach((act, i) => {
      const startedAt = performance.now();
      for (let n = 0; n < count; n++) act(n);
      least[i] = Math.min(itemAt(least, i), (1000 * (performance.now() - startedAt)) / count);
    });
  }
  return least;
}

export async function benchFaults(print: (line: string) => void): Promise<void> {
  for (const id of PROFILES) {
    const unit = plannedUnit(id);
    const good = nominalInput(unit);
    const faults = faultsOfUnit(unit);
    const [healthyUs = 0, faultyUs = 0] = leastUs(
      [
        () => buildUnitCircuit(good),
        (n) => buildUnitCircuit({ ...good, faults: [itemAt(faults, n % faults.length)] }),
      ],
      REPEATS * faults.length,
    );
    print(
      `${id}: a circuit with one of its ${faults.length} faults ${faultyUs.toFixed(1)} us, ` +
        `${(faultyUs / healthyUs).toFixed(2)} times the healthy one of ${healthyUs.toFixed(1)} us (asked: 1.5)`,
    );
  }
}
