// Items by index, present or an error: what an index signature cannot promise. One accessor for each kind of array, so
// that the engine sees one shape at each and inlines them to a bare load.

function missing(length: number, index: number): never {
  throw new RangeError(`no item ${index} among ${length}`);
}

/** @throws RangeError when there is no such item. */
export function itemAt<T extends NonNullable<unknown> | null>(items: readonly T[], index: number): T {
  const item = items[index];
  return item === undefined ? missing(items.length, index) : item;
}

/** @throws RangeError when there is no such sample; a lost one is NaN. */
export function sampleAt(values: Float64Array, index: number): number {
  const value = values[index];
  return value === undefined ? missing(values.length, index) : value;
}

/** @throws RangeError when there is no such number. */
export function wholeAt(values: Int32Array, index: number): number {
  const value = values[index];
  return value === undefined ? missing(values.length, index) : value;
}

/** @throws RangeError when there is no such byte. */
export function byteAt(values: Uint8Array, index: number): number {
  const value = values[index];
  return value === undefined ? missing(values.length, index) : value;
}

/** @throws RangeError when there is no such word. */
export function wordAt(values: Uint16Array, index: number): number {
  const value = values[index];
  return value === undefined ? missing(values.length, index) : value;
}

/** The last item. @throws RangeError when there is none. */
export const lastOf = <T extends NonNullable<unknown> | null>(items: readonly T[]): T =>
  itemAt(items, items.length - 1);

/** Items by what `key` says of them, groups and items in the order in which they come. */
export function groupedBy<T, K>(items: readonly T[], key: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) {
    const group = groups.get(key(item));
    if (group) group.push(item);
    else groups.set(key(item), [item]);
  }
  return groups;
}
