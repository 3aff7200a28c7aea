// Prints what the fuse meets in every fault of every style: npm run fuse.

import {
  CHARGING_V,
  type FuseRun,
  faultInputs,
  fuseRun,
  type Guard,
  meltingA2S,
  ratingFor,
  unitsOfAllStyles,
} from './fuse-proof.js';

const GUARDS: readonly Guard[] = ['limited feed and trip', 'trip', 'none'];
const motor = process.argv[2] ?? 'entry-step';
const units = unitsOfAllStyles(motor);
let blown = 0;
for (const guard of GUARDS) {
  const runs: (FuseRun & { style: string })[] = [];
  for (const unit of units) {
    for (const supplyV of [undefined, CHARGING_V]) {
      for (const { fault, input } of faultInputs(unit, supplyV))
        runs.push({ style: unit.style.id, ...fuseRun(unit, fault, input, guard) });
    }
  }
  const ratedA = ratingFor(units[0]!);
  const worst = runs.reduce((a, b) => (b.worstA2S > a.worstA2S ? b : a));
  const lost = runs.filter((run) => run.blown || run.worstA2S >= meltingA2S(ratedA));
  const ended = (by: FuseRun['endedBy']): number => runs.filter((run) => run.endedBy === by).length;
  console.log(
    `${guard}: ${runs.length} runs of ${motor} in ${units.length} styles, fuse ${ratedA} A (melts at ${meltingA2S(ratedA).toFixed(0)} A2s): ` +
      `${lost.length} blown; ended by limited feed ${ended('limited feed')}, trip ${ended('trip')}, plan ${ended('plan')}; ` +
      `worst ${worst.worstA2S.toFixed(1)} A2s, ${worst.peakA.toFixed(0)} A in ${worst.style} ${worst.fault}`,
  );
  for (const run of lost.slice(0, 8))
    console.log(`  ${run.style} ${run.fault}: ${run.worstA2S.toFixed(0)} A2s`);
  if (guard === 'limited feed and trip') blown = lost.length;
}
process.exitCode = blown === 0 ? 0 : 1;
