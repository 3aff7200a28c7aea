export { type Preparation, type PreparationOptions, prepareProfile } from './prepare-profile.js';
