// Finding a fault in the list by typing: every word typed must stand in its sentence or id; in any order and case.

import type { Nameable } from './hidden-fault.js';

/** In the order of the list; sentences with a word that starts as typed come first. All of them for nothing typed. */
export function searchNames(names: readonly Nameable[], typed: string): Nameable[] {
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  const textOf = ({ id, sentence }: Nameable): string => `${sentence} ${id}`.toLowerCase();
  const found = names.filter((name) => words.every((word) => textOf(name).includes(word)));
  const starts = (name: Nameable): boolean => {
    const own = textOf(name).split(/[^a-z0-9]+/);
    return words.every((word) => own.some((part) => part.startsWith(word)));
  };
  return [...found.filter(starts), ...found.filter((name) => !starts(name))];
}
