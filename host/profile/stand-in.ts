// Who throws a unit, and what of its harness that leaves untested. A switch that carries the motor is thrown by a person
// unless the profile says otherwise: with the rig's stand-in in its place, neither it nor the jumpers on it are on the bench.

import { type CircuitStyle, nodesOf, type StyleElement } from './circuit-style.js';
import type { Plan, UnitProfile } from './schema.js';
import type { YamlFile } from './yaml-file.js';

/** Called so where a style gives no words of its own. */
const STAND_IN = "rig's stand-in";
const LINK = "rig's link";

/** Whether the harness has a switch of its own that carries the motor, and that the rig can only stand in for. */
export const carriesBySwitch = ({ thrownBy, subject }: CircuitStyle): boolean =>
  thrownBy === 'stand-in' && subject === undefined;

/**
 * Plan and style of `unit` with who throws settled: what the unit says, else its plan, else a person for a switch that
 * carries the motor.
 * @throws InputError when a person is to throw a switch that is the rig's.
 */
export function thrownBy(
  file: YamlFile,
  unit: UnitProfile,
  style: CircuitStyle,
  plan: Plan,
): { plan: Plan; style: CircuitStyle } {
  const throwBy = unit.throwBy ?? plan.throwBy ?? (carriesBySwitch(style) ? 'operator' : undefined);
  if (throwBy === undefined) return { plan, style };
  if (throwBy === 'operator' && style.subject !== undefined) {
    throw file.fault(
      ['throwBy'],
      `${style.id} has no switch that a person could throw`,
      "write throwBy: rig, or choose a circuit with a harness's own switch",
    );
  }
  const thrown = { ...plan, throwBy };
  if (throwBy === 'rig') return { plan: thrown, style: withStandIn(style) };
  const { hookUp, hookUpByHand = hookUp } = style;
  return { plan: thrown, style: { ...style, hookUp: hookUpByHand } };
}

/** `style` with the rig's stand-in for the switch that the rig throws, and links of the rig's for the jumpers on it. */
export function withStandIn(style: CircuitStyle): CircuitStyle {
  if (!carriesBySwitch(style)) return style;
  const thrown = new Set(Object.values(style.positions).flatMap((settings) => Object.keys(settings)));
  const isSwitch = ({ kind, id }: StyleElement): boolean => kind === 'switch' && thrown.has(id);
  const terminals = new Set(style.elements.filter(isSwitch).flatMap(nodesOf));
  const elements = style.elements.map((element): StyleElement => {
    if (element.rigOwn) return element;
    const own = { rigOwn: true, inPlaceOf: element.title ?? element.id.replaceAll('-', ' ') } as const;
    if (element.kind === 'switch' && isSwitch(element))
      return { ...element, ...own, title: element.standIn ?? STAND_IN };
    const isOnSwitch =
      element.kind === 'wire' &&
      element.role === 'jumper' &&
      nodesOf(element).every((at) => terminals.has(at));
    // A link of the rig's is screwed down for good: it may be poor, and lands nowhere else.
    return isOnSwitch ? { ...element, ...own, role: 'wire', title: element.standIn ?? LINK } : element;
  });
  return { ...style, elements };
}

/**
 * `unit` with its own switch moved when the plan says so, where nobody has to: on a virtual bench whose hand never errs.
 * Its switch is on the bench and its faults show.
 */
export function thrownAsPlanned<T extends { plan: Plan }>(unit: T): T {
  const { throwBy: _, ...plan } = unit.plan;
  return { ...unit, plan };
}

/** What of the unit was not on the bench while the rig's stand-in took its place; empty for most units. */
export const notOnBench = ({ elements }: CircuitStyle): { id: string; title: string }[] =>
  elements.flatMap(({ id, inPlaceOf }) => (inPlaceOf === undefined ? [] : [{ id, title: inPlaceOf }]));
