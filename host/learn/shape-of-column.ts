// The shape of a batch in each of its readings, shared over all of them so that good batches are seldom called otherwise.

import { stretchWords } from '../measure/index.js';
import { namedShape, type Shape } from './population-shape.js';
import type { Column } from './run.js';
import { byUnit, scaleOf, unscaled } from './scale.js';

/** Of twenty batches of one normal population, one has some reading named. Choice of this program, no source. */
const WRONGLY = 0.05;

/** A reading in which the units are no single normal population. */
export interface ShapeFound {
  words: string;
  unit: string;
  shape: Extract<Shape, { kind: 'two groups' | 'skewed' }>['kind'];
  /** Tags and ends of either group; of a skewed one, none. */
  groups: { units: string[]; least: number; most: number }[];
  towards?: 'high' | 'low';
}

export function shapesFound(columns: readonly Column[]): ShapeFound[] {
  return columns.flatMap((column): ShapeFound[] => {
    const scale = scaleOf(column);
    const units = [...byUnit(scale, column.starts)].map(([tag, own]) => ({
      tag,
      mean: own.reduce((sum, value) => sum + value, 0) / own.length,
    }));
    const means = units.map(({ mean }) => mean);
    const shape = namedShape(means, WRONGLY / columns.length);
    const { words, of, unit } = column;
    const named = { words: of === undefined ? words : `${stretchWords(of)}: ${words}`, unit };
    if (shape.kind === 'skewed') {
      // A negative reading's logarithm runs the other way.
      const { towards } = shape;
      const isTurned = scale.sign < 0;
      return [
        {
          ...named,
          ...{ shape: 'skewed', groups: [] },
          towards: isTurned ? (towards === 'high' ? 'low' : 'high') : towards,
        },
      ];
    }
    if (shape.kind !== 'two groups') return [];
    const groups = [shape.low, shape.high]
      .map((places) => {
        const group = places.flatMap((place) => units[place] ?? []);
        const values = group.map(({ mean }) => unscaled(scale, mean));
        return {
          units: group.map(({ tag }) => tag).sort(),
          ...{ least: Math.min(...values), most: Math.max(...values) },
        };
      })
      .sort((a, b) => a.least - b.least);
    return [{ ...named, shape: 'two groups', groups }];
  });
}
