// A measured number with its uncertainty by the GUM (JCGM 100:2008): components in, combined and expanded out.

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
  /** The stretch of the capture that it came from. */
  fromS?: number;
  toS?: number;
}

/** Keys are names with units in them: `forwardInrushPeakA`, `restLeadAVoltageV`. */
export type Measured = Record<string, Quantity>;

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

/** Budgets of the quantities made here; a quantity that was copied or stored has lost its lines, not its uncertainty. */
const linesOf = new WeakMap<Quantity, readonly Component[]>();

/** Budget lines of a quantity in its own unit, as they were put together; the whole as one line where they are lost. */
export const componentsOf = (quantity: Quantity): readonly Component[] => linesOf.get(quantity) ?? [quantity];

/** A quantity from its value and budget. */
export function quantityOf(
  value: number,
  unit: string,
  components: readonly Component[],
  stretch?: Stretch,
): Quantity {
  const total = combine(components);
  const quantity: Quantity = {
    value,
    unit,
    standardUncertainty: total.standardUncertainty,
    degreesOfFreedom: total.degreesOfFreedom,
    expandedUncertainty: coverageFactor95(total.degreesOfFreedom) * total.standardUncertainty,
    ...(stretch ? { fromS: stretch.fromS, toS: stretch.toS } : {}),
  };
  linesOf.set(quantity, components);
  return quantity;
}

/**
 * Budget lines of a quantity times `factor`, each source marked with what it belongs to: lines of a result that was
 * formed from it, when the inputs are independent.
 */
export function scaledLines(quantity: Quantity, factor: number, of?: string): Component[] {
  return componentsOf(quantity).map((line) => {
    const source = [line.source, of].filter((word) => word !== undefined).join(' of ');
    return {
      standardUncertainty: Math.abs(factor) * line.standardUncertainty,
      degreesOfFreedom: line.degreesOfFreedom,
      ...(source === '' ? {} : { source }),
    };
  });
}

/** A count or a yes/no: exact. */
export function countOf(value: number, stretch?: Stretch): Quantity {
  return quantityOf(value, '1', [], stretch);
}
