// Finds the known name that a misspelt one was meant to be.

/** The nearest of `names`, or undefined when none begins with it or is within a third of its letters (2 at least). */
export function nearestName(word: string, names: Iterable<string>): string | undefined {
  let best: string | undefined;
  let bestDistance = Math.max(2, Math.floor(word.length / 3)) + 1;
  for (const name of names) {
    // A name cut short is nearer than its missing letters say.
    const isBeginning = word.length >= 3 && name.toLowerCase().startsWith(word.toLowerCase());
    const distance = isBeginning ? 1 : editDistance(word.toLowerCase(), name.toLowerCase());
    if (distance < bestDistance) {
      best = name;
      bestDistance = distance;
    }
  }
  return best;
}

/** Insertions, deletions, replacements and exchanged neighbours count one each (optimal string alignment). */
export function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const replaced = last[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      let distance = Math.min(last[j]! + 1, row[j - 1]! + 1, replaced);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        distance = Math.min(distance, before[j - 2]! + 1);
      }
      row.push(distance);
    }
    before = last;
    last = row;
  }
  return last[b.length]!;
}
