export * from './check-shape.js';
export * from './circuit-style.js';
export * from './input-error.js';
export { FOLDERS, ownProfilesDir, PROFILES_VARIABLE, type ProfileKind } from './library.js';
export * from './load.js';
export * from './nearest.js';
export * from './plain-values.js';
export * from './schema.js';
export { displayPath, readFault, YamlFile } from './yaml-file.js';
