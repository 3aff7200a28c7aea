// What can be said to `throwbench ratings`.

export const RATINGS_OPTIONS = {
  profile: { type: 'string' },
  circuit: { type: 'string' },
  run: { type: 'string' },
  'running-a': { type: 'string' },
  'start-a': { type: 'string' },
  'held-a': { type: 'string' },
  motors: { type: 'string' },
  continuous: { type: 'boolean', default: false },
  'switch-a': { type: 'string' },
  'fuse-a': { type: 'string' },
  'coil-fuse-a': { type: 'string' },
  'make-a': { type: 'string' },
  'break-a': { type: 'string' },
  'wire-mm2': { type: 'string' },
  'wire-awg': { type: 'string' },
  'wire-length': { type: 'string' },
  drop: { type: 'string' },
  supply: { type: 'string' },
  'ambient-c': { type: 'string' },
  json: { type: 'boolean', default: false },
} as const;
