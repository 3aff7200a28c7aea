// Strokes of the bell, counted.

import { expect, it } from 'vitest';
import { Bell, strokesFor } from '../../host/screens/bell.js';
import { EMPTY_VIEW, reduceBench } from '../../host/screens/index.js';
import { scriptedTray } from './scripted-bench.js';
import { StepClock } from './step-clock.js';

it('rings once for a pass, three times for a fail, twice for what cannot be told, and once a verdict', async () => {
  const clock = new StepClock();
  let strokes = 0;
  const bell = new Bell(clock, () => {
    strokes += 1;
  });
  const heard: number[] = [];
  let view = EMPTY_VIEW;
  for await (const event of scriptedTray()) {
    view = reduceBench(view, event);
    bell.look(view);
    bell.look(view);
    clock.advance(3);
    if (event.kind === 'judged') heard.push(strokes);
    if (event.kind === 'judged') strokes = 0;
  }
  expect(heard).toEqual([1, 3, 2, 1]);
  expect([strokesFor('pass'), strokesFor('fail'), strokesFor('cannot-tell')]).toEqual([1, 3, 2]);
});
