// A profile whose motor is known: the shipped numbers taken for what a good unit was measured at. Generic numbers fail
// nobody, so what holds a motor to its own limits is tested on these.

import type { ResolvedUnit } from '../../host/profile/index.js';
import { plannedUnit } from './planned-unit.js';

export const withKnownMotor = (unit: ResolvedUnit): ResolvedUnit => ({
  ...unit,
  motor: { ...unit.motor, origin: 'learned' },
});

export const knownUnit = (nameOrPath: string): ResolvedUnit => withKnownMotor(plannedUnit(nameOrPath));
