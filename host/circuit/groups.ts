// Names joined into groups: what lies in one piece of a circuit.

export class Groups {
  readonly #parent = new Map<string, string>();
  of(name: string): string {
    const parent = this.#parent.get(name) ?? name;
    if (parent === name) return name;
    const root = this.of(parent);
    this.#parent.set(name, root);
    return root;
  }
  /** False when they were in one group already. */
  join(a: string, b: string): boolean {
    const [rootA, rootB] = [this.of(a), this.of(b)];
    if (rootA === rootB) return false;
    this.#parent.set(rootA, rootB);
    return true;
  }
}
