// What comes before a plan's first step, on the rig and in the model alike.

/** Everything off before the feed comes on, so that offsets and a live lead are seen. Choice of this program, no source. */
export const LEAD_IN_S = 0.2;
