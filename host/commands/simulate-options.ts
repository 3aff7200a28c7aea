// What can be said to `throwbench simulate`.

export const SIMULATE_OPTIONS = {
  profile: { type: 'string' },
  fault: { type: 'string', multiple: true },
  csv: { type: 'string' },
  svg: { type: 'string' },
  draws: { type: 'string' },
  supply: { type: 'string' },
  temperature: { type: 'string' },
  station: { type: 'string' },
  'held-rotor': { type: 'boolean' },
  faults: { type: 'boolean' },
  scenario: { type: 'string', multiple: true },
  json: { type: 'boolean' },
} as const;
