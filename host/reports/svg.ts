// Small parts of every picture: numbers and text in SVG, even ticks, the width that a label takes.

import { visible } from '../input/index.js';

/** A tenth of a picture's unit is finer than any printer. */
export const n = (value: number): string => String(Math.round(value * 10) / 10);

export function escaped(text: string): string {
  return visible(text)
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

/** Multiples of 1, 2 or 5 of a decade that hold both ends, some `about` of them. */
export function niceTicks(low: number, high: number, about = 6): number[] {
  const rough = (high - low) / about;
  const decade = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5, 10].find((factor) => factor * decade >= rough) ?? 10) * decade;
  const first = Math.floor(low / step + 1e-9);
  const last = Math.ceil(high / step - 1e-9);
  return Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toPrecision(6)));
}

/** Mean width of a sans-serif letter as a part of its size; rather wide, so that labels keep apart. */
const LETTER = 0.56;
export const textWidth = (text: string, size: number): number => LETTER * size * text.length;

export interface TextStyle {
  size?: number;
  anchor?: 'start' | 'middle' | 'end';
  fill?: string;
  isBold?: boolean;
  /** Colour of a rim around each letter, where marks may lie under it. */
  halo?: string;
}

export function textAt(
  x: number,
  y: number,
  text: string,
  { size, anchor, fill, isBold, halo }: TextStyle = {},
): string {
  const style = [
    ...(size === undefined ? [] : [`font-size="${size}"`]),
    ...(anchor === undefined || anchor === 'start' ? [] : [`text-anchor="${anchor}"`]),
    ...(fill === undefined ? [] : [`fill="${fill}"`]),
    ...(isBold ? ['font-weight="bold"'] : []),
    ...(halo === undefined ? [] : [`paint-order="stroke" stroke="${halo}" stroke-width="3"`]),
  ];
  return `<text x="${n(x)}" y="${n(y)}"${style.map((part) => ` ${part}`).join('')}>${escaped(text)}</text>`;
}

/** Height of a picture as a part of its width; square where it does not tell. */
export function aspectOf(svg: string): number {
  const [, width = '1', height = '1'] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(svg) ?? [];
  return Number(height) / Number(width);
}

/** Width and height of a picture in its own units. */
export function sizeOf(svg: string): { width: number; height: number } {
  const width = widthOf(svg);
  return { width, height: width * aspectOf(svg) };
}

/** A part of a picture, by its own units, as a picture; what lies outside is cut. */
export const partOf = (
  svg: string,
  { x, y, width, height }: { x: number; y: number; width: number; height: number },
): string => svg.replace(/viewBox="[^"]*"/, `viewBox="${x} ${y} ${width} ${height}" overflow="hidden"`);

/** Width of a picture in its own units; 1 where it does not tell. */
export const widthOf = (svg: string): number => Number(/viewBox="0 0 ([\d.]+) /.exec(svg)?.[1] ?? 1);
