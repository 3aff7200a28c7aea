// Plugin of the mutation run: of all mutants that some test reaches, lets a seeded sample through, one of each of so many
// stretches of equal length in the order of files and lines. Plain JavaScript, for the processes that load it know no other.

const COUNT = Number(process.env.MUTANTS_COUNT);
const SEED = Number(process.env.MUTANTS_SEED);

/** mulberry32, 0 to 1. */
function seeded(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

const placeOf = ({ fileName, location: { start, end }, mutatorName, replacement }) => [
  fileName,
  ...[start.line, start.column, end.line, end.column].map((number) => String(number).padStart(6, '0')),
  mutatorName,
  replacement,
];

function sampleOf(mutants, count, seed) {
  const keyed = mutants.map((mutant) => ({ id: mutant.id, key: placeOf(mutant).join(' ') }));
  keyed.sort((a, b) => (a.key < b.key ? -1 : 1));
  const uniform = seeded(seed);
  const step = Math.max(1, keyed.length / count);
  const taken = new Set();
  for (let n = 0; n * step < keyed.length && n < count; n++) {
    const at = Math.min(keyed.length - 1, Math.floor((n + uniform()) * step));
    taken.add(keyed[at].id);
  }
  return taken;
}

class Sample {
  async init() {}

  /** All at once, for the sample is of the whole. */
  async group(mutants) {
    return [mutants.map(({ id }) => id)];
  }

  async check(mutants) {
    const taken = sampleOf(mutants, COUNT, SEED);
    return Object.fromEntries(
      mutants.map(({ id }) => [
        id,
        taken.has(id) ? { status: 'passed' } : { status: 'compileError', reason: 'not in the sample' },
      ]),
    );
  }
}

export const strykerPlugins = [{ kind: 'Checker', name: 'sampled', injectableClass: Sample }];
