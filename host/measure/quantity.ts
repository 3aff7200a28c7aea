// A measured number with its uncertainty by the GUM (JCGM 100:2008): components in, combined and expanded out.

import { sampleAt } from '../arrays/index.js';
import { studentCoverageFactor } from './distributions.js';

/** A measured number; absent from a record when it was not measured, never zero instead. */
export interface Quantity {
  value: number;
  /** SI symbol: A, V, s, Ohm, ... `1` for a count. */
  unit: string;
  standardUncertainty: number;
  /** Infinity when the uncertainty itself is taken as exact. */
  degreesOfFreedom: number;
  /** 95 % coverage (GUM 6.2, G.4). */
  expandedUncertainty: number;
  /** The current ran beyond the range of its instrument: the value is a lower bound. */
  atLeast?: true;
  /**
   * Stands at the end of its channel's range on the rig: at least so much flows. It is judged all the same, since what
   * every cause reads is simulated through the same range.
   */
  isAtEnd?: true;
  /** The stretch of the capture that it came from. */
  fromS?: number;
  toS?: number;
  /** Its budget in its own unit, as it was put together; absent where only the whole is known. */
  budget?: readonly Component[];
}

/** One line of an uncertainty budget, already in the unit of the result (sensitivity applied). */
export interface Component {
  standardUncertainty: number;
  degreesOfFreedom: number;
  /** Where it comes from, in plain words; for a budget that is shown. */
  source?: string;
}

/** Root sum of squares, with effective degrees of freedom by Welch-Satterthwaite (GUM G.4.1). */
export function combine(components: readonly Component[]): Component {
  let variance = 0;
  let weighted = 0;
  for (const { standardUncertainty: u, degreesOfFreedom } of components) {
    variance += u * u;
    if (Number.isFinite(degreesOfFreedom)) weighted += u ** 4 / degreesOfFreedom;
  }
  return {
    standardUncertainty: Math.sqrt(variance),
    degreesOfFreedom: weighted > 0 ? variance ** 2 / weighted : Number.POSITIVE_INFINITY,
  };
}

const factors = new Map<number, number>();

/** Coverage factor for 95 % at the degrees of freedom truncated to a whole number (GUM G.4.1, note). */
export function coverageFactor95(degreesOfFreedom: number): number {
  const dof = degreesOfFreedom > 10000 ? Number.POSITIVE_INFINITY : Math.max(1, Math.floor(degreesOfFreedom));
  let factor = factors.get(dof);
  if (factor === undefined) {
    factor = studentCoverageFactor(0.95, dof);
    factors.set(dof, factor);
  }
  return factor;
}

export interface Stretch {
  fromS: number;
  toS: number;
}

/** Budget lines of a quantity in its own unit; the whole as one line where they are not known. */
export const componentsOf = ({
  budget,
  standardUncertainty,
  degreesOfFreedom,
}: Quantity): readonly Component[] => budget ?? [{ standardUncertainty, degreesOfFreedom }];

/** A quantity from its value and budget. */
export function quantityOf(
  value: number,
  unit: string,
  components: readonly Component[],
  stretch?: Stretch,
): Quantity {
  const total = combine(components);
  return {
    value,
    unit,
    standardUncertainty: total.standardUncertainty,
    degreesOfFreedom: total.degreesOfFreedom,
    expandedUncertainty: coverageFactor95(total.degreesOfFreedom) * total.standardUncertainty,
    ...(stretch ? { fromS: stretch.fromS, toS: stretch.toS } : {}),
    budget: components,
  };
}

/** `quantity` with a further line in its budget. */
export function withLine(quantity: Quantity, line: Component): Quantity {
  const { value, unit } = quantity;
  return quantityOf(value, unit, [...componentsOf(quantity), line], spanOf(quantity));
}

/** One line of a budget; exact unless its degrees of freedom are known. */
export const lineOf = (
  standardUncertainty: number,
  source?: string,
  degreesOfFreedom = Number.POSITIVE_INFINITY,
): Component => ({ standardUncertainty, degreesOfFreedom, ...(source === undefined ? {} : { source }) });

/**
 * Budget lines of a quantity times `factor`, each source marked with what it belongs to: lines of a result that was
 * formed from it, when the inputs are independent.
 */
export function scaledLines(quantity: Quantity, factor: number, of?: string): Component[] {
  return componentsOf(quantity).map(({ standardUncertainty, degreesOfFreedom, source }) => {
    const words = [source, of].filter((word) => word !== undefined).join(' of ');
    return lineOf(Math.abs(factor) * standardUncertainty, words === '' ? undefined : words, degreesOfFreedom);
  });
}

/** Time span of a quantity, where it has one. */
export const spanOf = ({ fromS, toS }: Quantity): Stretch | undefined =>
  fromS === undefined || toS === undefined ? undefined : { fromS, toS };

/** Time span of samples [from, to). */
export const spanAt = (timeS: Float64Array, from: number, to: number): Stretch => ({
  fromS: sampleAt(timeS, from),
  toS: sampleAt(timeS, to - 1),
});

/** A count or a yes/no: exact. */
export function countOf(value: number, stretch?: Stretch): Quantity {
  return quantityOf(value, '1', [], stretch);
}
