// `npm run learning`: drawn workshops whose populations are known here and hidden from learning. Each learns limits from a
// few units; how many further good units those limits reject is then counted, and held against what they state.

import { shapeTable } from '../learn/shapes.js';
import { caughtTable, workshopTable } from '../learn/workshops.js';

const SEED = Number(process.argv[process.argv.indexOf('--seed') + 1]) || 7001;
const WORKSHOPS = Number(process.argv[process.argv.indexOf('--workshops') + 1]) || 200;

console.log(`${WORKSHOPS} drawn workshops a line, seed ${SEED}; further good units a workshop: 2,000`);
console.log('');
for (const line of workshopTable({ seed: SEED, workshops: WORKSHOPS, further: 2000 })) console.log(line);

console.log('');
console.log('Caught, of units with something wrong; good ones rejected, where it is nothing:');
for (const line of caughtTable({ seed: SEED, workshops: WORKSHOPS, units: [3, 5, 10, 30] }))
  console.log(line);

console.log('');
console.log('Named, of drawn sets of units, one normal population in a hundred wrongly each way:');
for (const line of shapeTable({ seed: SEED, sets: 5 * WORKSHOPS, wrongly: 0.01 })) console.log(line);
