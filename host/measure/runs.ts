// Samples that hold together: stretches [from, to) of one key, in order.

export interface Run<K> {
  key: K;
  from: number;
  to: number;
}

/** Samples [from, to), cut where their key changes. */
export function runsOf<K>(from: number, to: number, keyAt: (index: number) => K): Run<K>[] {
  const runs: Run<K>[] = [];
  let last: Run<K> | undefined;
  for (let i = from; i < to; i++) {
    const key = keyAt(i);
    if (last?.key === key) last.to = i + 1;
    else {
      last = { key, from: i, to: i + 1 };
      runs.push(last);
    }
  }
  return runs;
}

/** Stretches of [from, to) in which something holds. */
export const runsWhere = (from: number, to: number, holds: (index: number) => boolean): Run<boolean>[] =>
  runsOf(from, to, holds).filter(({ key }) => key);
