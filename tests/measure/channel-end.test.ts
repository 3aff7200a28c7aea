// A current that stands at the end of its channel's range on the rig: coils that are shorted draw more than the coil
// channel reads, and what is told of them is a lower bound.

import { expect, it } from 'vitest';
import { measure } from '../../host/measure/index.js';
import { quantitiesJson, quantityText } from '../../host/tell/index.js';
import { CATALOGUE_MOTOR, closedFormCapture, RIG } from './closed-form.js';

const { perCount, atZeroCount } = RIG.scales.coilCurrentA;
const TOP_A = atZeroCount + perCount * (2 ** RIG.adcBits - 1);

/** Of a run whose coils draw `drawnA` while thrown, as a converter of that range reads it. */
function coilRead(drawnA: number) {
  const capture = closedFormCapture({
    ...{ motor: CATALOGUE_MOTOR, supplyV: 13, feedOhm: 0.05, groundOhm: 0.02, delayS: 0 },
    ...{ release: 'coast', sampleRateHz: 5000 },
  });
  const coilCurrentA = Float64Array.from(capture.position, (position) =>
    position === 'rest' ? 0 : Math.min(TOP_A, drawnA),
  );
  const { measured } = measure({ ...capture, channels: { ...capture.channels, coilCurrentA } }, { rig: RIG });
  return measured;
}

it('a coil current beyond the range of its channel is told as at least the range, in words and in JSON', () => {
  const { forwardCoilCurrentA } = coilRead(4);
  expect(forwardCoilCurrentA).toMatchObject({ isAtEnd: true });
  expect(forwardCoilCurrentA?.value).toBeCloseTo(TOP_A, 9);
  expect(quantityText(forwardCoilCurrentA!)).toMatch(/^at least \d/);
  expect(quantitiesJson({ forwardCoilCurrentA: forwardCoilCurrentA! }).forwardCoilCurrentA).toMatchObject({
    atLeast: true,
  });
});

it('one within the range is not, nor is any other reading of that run', () => {
  const measured = coilRead(0.9 * TOP_A);
  expect(measured.forwardCoilCurrentA?.value).toBeCloseTo(0.9 * TOP_A, 2);
  expect(Object.values(measured).filter(({ isAtEnd }) => isAtEnd)).toEqual([]);
});
