// Order statistics without sorting: Hoare's selection, CACM 4 (1961) 321, algorithm 65.

/** Reorders `values[0..count)` so that the one of rank `rank` stands at its place, none larger before it; returns it. */
export function select(values: Float64Array, count: number, rank: number): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = middleOf(values[low]!, values[(low + high) >> 1]!, values[high]!);
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i > j) break;
      const kept = values[i]!;
      values[i++] = values[j]!;
      values[j--] = kept;
    }
    if (rank <= j) high = j;
    else if (rank >= i) low = i;
    else break;
  }
  return values[rank]!;
}

const middleOf = (a: number, b: number, c: number): number =>
  Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
