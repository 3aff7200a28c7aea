// A paper of several pages in the look of the test sheet: what stands on it, block after block; HTML and PDF set the same.

export type Block =
  | { kind: 'heading'; text: string }
  | { kind: 'text'; text: string; isBold?: boolean; isFine?: boolean }
  /** Cells of a row may be fewer than the widths; the last then takes what is left. */
  | {
      kind: 'table';
      head: readonly string[];
      widths: readonly number[];
      rows: readonly (readonly string[])[];
    }
  /**
   * No wider than the page, no higher than the part of it that is told; where it could not be read so, on a page of its
   * own, and over several where that is too small. `breaks`: heights at which nothing but wires is cut.
   */
  | { kind: 'picture'; svg: string; mostOfPage: number; breaks?: readonly number[] };

export interface Leaflet {
  title: string;
  subtitle: string;
  /** Name and address of the shop, a line each. */
  shop: readonly string[];
  blocks: readonly Block[];
  /** At the foot of each page. */
  foot: string;
}
