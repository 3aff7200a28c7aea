// The readings that tell faults apart, each with the least spread that a model may claim for it.

export interface FeatureRule {
  /** Matches the feature's name after the throw's name, or a whole rest name. */
  pattern: RegExp;
  /** Least standard deviation, in the feature's unit: what rig, wiring and style data leave open. */
  floor: number;
  /** Least standard deviation as a part of the predicted value. */
  part: number;
}

/** Values set by judgement of what the model leaves out; common practice, no source. */
export const NUMBER_RULES: readonly FeatureRule[] = [
  { pattern: /^restLead[AB]VoltageV$/, floor: 0.4, part: 0.02 },
  { pattern: /^restMotorCurrentA$/, floor: 0.12, part: 0.1 },
  { pattern: /^restFeedCurrentA$/, floor: 0.15, part: 0.1 },
  { pattern: /^restCoilCurrentA$/, floor: 0.006, part: 0.06 },
  { pattern: /^(?:forward|reverse)\d*Lead[AB]VoltageV$/, floor: 0.12, part: 0.01 },
  { pattern: /^(?:forward|reverse)\d*MotorCurrentA$/, floor: 0.1, part: 0.06 },
  { pattern: /^(?:forward|reverse)\d*FeedCurrentA$/, floor: 0.15, part: 0.08 },
  { pattern: /^(?:forward|reverse)\d*InrushPeakA$/, floor: 0.2, part: 0.03 },
  { pattern: /^(?:forward|reverse)\d*CoilCurrentA$/, floor: 0.006, part: 0.05 },
  { pattern: /^(?:forward|reverse)\d*SettleS$/, floor: 0.004, part: 0.08 },
  { pattern: /^(?:forward|reverse)\d*StopsAfterS$/, floor: 0.03, part: 0.12 },
  { pattern: /^(?:forward|reverse)\d*BrakePeakA$/, floor: 0.3, part: 0.1 },
  { pattern: /^(?:forward|reverse)\d*ReleaseBackEmfV$/, floor: 0.3, part: 0.06 },
  // Through the limited feed: about 1 A, so drops in wires and contacts are within what a converter's count tells.
  // What is left of a lead's voltage at 1 A tells a motor from a short of a few tenths of an ohm.
  { pattern: /^limitedRestLead[AB]VoltageV$/, floor: 0.12, part: 0.02 },
  { pattern: /^limited(?:Forward|Reverse)Lead[AB]VoltageV$/, floor: 0.05, part: 0.02 },
  { pattern: /^limited(?:Rest|Forward|Reverse)FeedCurrentA$/, floor: 0.06, part: 0.03 },
  { pattern: /^limited(?:Forward|Reverse)MotorCurrentA$/, floor: 0.06, part: 0.05 },
  { pattern: /^limited(?:Forward|Reverse)CoilCurrentA$/, floor: 0.006, part: 0.05 },
];

export const ruleFor = (name: string): FeatureRule | undefined =>
  NUMBER_RULES.find(({ pattern }) => pattern.test(name));

/** `forward2InrushPeakA` -> `forward2`; undefined for rest readings. */
export const throwOfFeature = (name: string): string | undefined =>
  /^(?:forward|reverse|limitedForward|limitedReverse)\d*/.exec(name)?.[0];
