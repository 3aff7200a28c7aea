// What a picture must be whatever it shows, and the boxes that its labels take.

/** Start tags and end tags pair up, attributes are quoted. */
export function isWellFormed(svg: string): boolean {
  const open: string[] = [];
  for (const [, end, name, closed] of svg.matchAll(/<(\/?)([a-z]+)(?:\s+[\w:-]+="[^"<]*")*\s*(\/?)>/g)) {
    if (end) {
      if (open.pop() !== name) return false;
    } else if (!closed) open.push(name!);
  }
  return open.length === 0 && !/<[^/a-z]/.test(svg);
}

/** Every text with its place and anchor. */
export const textsOf = (svg: string): { x: number; y: number; anchor: string; text: string }[] =>
  [...svg.matchAll(/<text x="([-\d.]+)" y="([-\d.]+)"([^>]*)>([^<]*)</g)].map(([, x, y, style, text]) => ({
    x: Number(x),
    y: Number(y),
    anchor: /text-anchor="(\w+)"/.exec(style!)?.[1] ?? 'start',
    text: text!,
  }));
